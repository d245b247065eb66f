"""Where the Moon and the Sun are: JPL's DE421, geocentric, ICRF axes, from the installed file.

DE421 (JPL IOM 343R-08-003), as the package de421 carries it, covers 1899-12-04 to 2200-02-01.
Its Moon stands within 13 m of DE440's until 2053, within 220 m at the end.

A single date is looked up between nodes half an hour apart, in a twentieth of the time that DE421
itself takes: the Moon is then within 2 mm and 2e-6 m/s of it, the Sun within 10 cm and 1e-4 m/s.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple, Protocol

import numpy as np

from mplan.physics.bodies.even_nodes import EvenNodes
from mplan.physics.bodies.time import J2000
from mplan.physics.constants import DAY
from mplan.physics.vectors import floats

FIRST_DAY, LAST_DAY = "1899-12-04", "2200-02-01"
CHUNK, NODE = DAY, 1800.0  # s: of nodes looked up together, and between them


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


@lru_cache(maxsize=1024)  # the shots of one targeting ask for one date again and again
def moon_and_sun(t: float) -> tuple[BodyState, BodyState]:
    """Return Moon and Sun at a single date [TDB s past J2000]; see `moon` and `sun`."""
    rows = np.array(moon_and_sun_floats(t)).reshape(4, 3)
    rows.flags.writeable = False  # those below see its memory, and are read-only with it
    moon_r, moon_v, sun_r, sun_v = rows
    return BodyState(moon_r, moon_v), BodyState(sun_r, sun_v)


@lru_cache(maxsize=1024)
def moon_and_sun_floats(t: float) -> tuple[float, ...]:
    """Return the same as plain floats: place [m] and velocity [m/s] of Moon, then of Sun (12)."""
    chunk = round(t / CHUNK)
    nodes = _nodes(chunk)
    if nodes is None:  # at either end of DE421
        luna, star = _moon(np.array([t])), _sun(np.array([t]))
        ends = (luna.r[0], luna.v[0], star.r[0], star.v[0])
        return tuple(x for each in ends for x in floats(each))
    r, v = nodes.numbers_and_rates(t - chunk * CHUNK)
    return (*r[:3], *v[:3], *r[3:], *v[3:])


@lru_cache(maxsize=256)
def _nodes(chunk: int) -> EvenNodes | None:
    """Return Moon and Sun (6,) about the middle of a chunk, on its own clock; None off DE421."""
    after = np.arange(-CHUNK / 2.0, CHUNK / 2.0 + 1.0, NODE)
    dates = chunk * CHUNK + after
    if not np.all(covers(dates)):
        return None
    luna, star = _moon(dates), _sun(dates)
    places, speeds = np.hstack([luna.r, star.r]), np.hstack([luna.v, star.v])
    return EvenNodes(float(after[0]), NODE, places, speeds)


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
    if isinstance(t, float):
        return moon_and_sun(float(t))[0]
    return moon_and_sun(float(t))[0] if np.ndim(t) == 0 else _moon(np.asarray(t, dtype=float))


def sun(t: float | np.ndarray) -> BodyState:
    """Return the Sun at `t` [TDB s past J2000], geocentric, no light time; ValueError outside."""
    if isinstance(t, float):
        return moon_and_sun(float(t))[1]
    return moon_and_sun(float(t))[1] if np.ndim(t) == 0 else _sun(np.asarray(t, dtype=float))


def _moon(t: np.ndarray) -> BodyState:
    return _looked_up("moon", t)


def _sun(t: np.ndarray) -> BodyState:
    bary, planet, luna = (_looked_up(name, t) for name in ("earthmoon", "sun", "moon"))
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
