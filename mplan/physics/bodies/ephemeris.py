"""Where the Moon and the Sun are: JPL's DE421, geocentric, ICRF axes, from the installed file.

DE421 (JPL IOM 343R-08-003), as the package de421 carries it, covers 1899-12-04 to 2200-02-01.
Its Moon stands within 13 m of DE440's until 2053, within 220 m at the end.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple, Protocol

import numpy as np

from mplan.physics.bodies.time import J2000
from mplan.physics.constants import DAY
from mplan.physics.vectors import frozen

FIRST_DAY, LAST_DAY = "1899-12-04", "2200-02-01"


class BodyState(NamedTuple):
    """Geocentric position `r` [m] and velocity `v` [m/s], ICRF axes, shape (3,) or (n, 3)."""

    r: np.ndarray
    v: np.ndarray


class _Tables(Protocol):
    """What is used of the library's ephemeris, which states no types."""

    jalpha: float  # first and last Julian date
    jomega: float
    EMRAT: float  # Earth's mass over the Moon's

    def position_and_velocity(
        self, name: str, tdb: np.ndarray | float, tdb2: np.ndarray | float
    ) -> tuple[np.ndarray, np.ndarray]:
        """Return a body's place [km] and velocity [km/day], (3, n), at two-part Julian dates."""


@cache
def _de421() -> _Tables:
    import de421
    from jplephem import Ephemeris

    return Ephemeris(de421)


def _state(name: str, t: float | np.ndarray) -> BodyState:
    return (
        _once(name, float(t)) if np.ndim(t) == 0 else _looked_up(name, np.asarray(t, dtype=float))
    )


@lru_cache(maxsize=256)
def _once(name: str, t: float) -> BodyState:
    """Look up a single date, which the shots of one targeting ask for again and again."""
    return frozen(BodyState(*(vectors[0] for vectors in _looked_up(name, np.array([t])))))


def _looked_up(name: str, t: np.ndarray) -> BodyState:
    ephemeris = _de421()
    # Whole days and the rest apart: a float Julian date alone would be good to 40 microseconds.
    whole = np.floor(t / DAY)
    rest = t / DAY - whole
    day = J2000 + whole
    if np.any(day + rest < ephemeris.jalpha) or np.any(day + rest > ephemeris.jomega):
        raise ValueError(f"a date outside DE421, which covers {FIRST_DAY} to {LAST_DAY}")
    r, v = ephemeris.position_and_velocity(name, day, rest)
    return BodyState(np.asarray(r).T * 1e3, np.asarray(v).T * (1e3 / DAY))


def moon(t: float | np.ndarray) -> BodyState:
    """Return the Moon at `t` [TDB s past J2000], geocentric; ValueError outside DE421."""
    return _state("moon", t)


def sun(t: float | np.ndarray) -> BodyState:
    """Return the Sun at `t` [TDB s past J2000], geocentric, no light time; ValueError outside."""
    bary, planet, luna = (_state(name, t) for name in ("earthmoon", "sun", "moon"))
    share = 1.0 / (1.0 + _de421().EMRAT)
    earth = BodyState(bary.r - share * luna.r, bary.v - share * luna.v)
    return BodyState(planet.r - earth.r, planet.v - earth.v)


def covers(t: np.ndarray) -> np.ndarray:
    """Return for each date [TDB s] whether the ephemeris reaches it."""
    day = J2000 + np.asarray(t) / DAY
    return (day >= _de421().jalpha) & (day <= _de421().jomega)


def librations(t: float | np.ndarray) -> np.ndarray:
    """Return the Euler angles [rad] of the Moon's principal axes at `t` [TDB s], shape (..., 3).

    About z from the ICRF's equinox to the node, about the node to the equator, and along it.
    """
    days = np.asarray(t, dtype=float) / DAY
    found, _ = _de421().position_and_velocity(
        "librations", np.full(days.size, J2000), days.reshape(-1)
    )
    return np.asarray(found).T.reshape(*days.shape, 3)
