"""Where the Moon and the Sun are: JPL's DE421, geocentric, ICRF axes, from the installed file.

DE421 (JPL IOM 343R-08-003) covers 1899-07-29 to 2053-10-09; its Moon stands within metres
of DE440's over this century.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple

import numpy as np

from mplan.physics.constants import DAY
from mplan.physics.time import J2000

FIRST_DAY, LAST_DAY = "1899-07-29", "2053-10-09"


class Body(NamedTuple):
    """Geocentric position `r` [m] and velocity `v` [m/s], ICRF axes, shape (3,) or (n, 3)."""

    r: np.ndarray
    v: np.ndarray


@cache
def _de421():  # noqa: ANN202 (the library's class is private to its loader)
    import de421
    from jplephem import Ephemeris

    return Ephemeris(de421)


def _state(name: str, t: float | np.ndarray) -> Body:
    return _once(name, float(t)) if np.ndim(t) == 0 else _looked_up(name, t)


@lru_cache(maxsize=256)
def _once(name: str, t: float) -> Body:
    """Look up a single date, which the shots of one targeting ask for again and again."""
    body = _looked_up(name, t)
    for vector in body:
        vector.flags.writeable = False  # it is shared from here on
    return body


def _looked_up(name: str, t: float | np.ndarray) -> Body:
    ephemeris = _de421()
    # Whole days and the rest apart: a float Julian date alone would be good to 40 microseconds.
    whole = np.floor(np.asarray(t) / DAY)
    rest = np.asarray(t) / DAY - whole
    day = J2000 + whole
    if np.any(day + rest < ephemeris.jalpha) or np.any(day + rest > ephemeris.jomega):
        raise ValueError(f"a date outside DE421, which covers {FIRST_DAY} to {LAST_DAY}")
    r, v = ephemeris.position_and_velocity(name, day, rest)
    return Body(_last_axis(r) * 1e3, _last_axis(v) * (1e3 / DAY))


def _last_axis(vectors: np.ndarray) -> np.ndarray:
    """Turn jplephem's (3, n) into (3,) for one date or (n, 3) for several."""
    turned = np.asarray(vectors).T
    return turned[0] if turned.shape[0] == 1 else turned


def moon(t: float | np.ndarray) -> Body:
    """Return the Moon at `t` [TDB s past J2000], geocentric; ValueError outside DE421."""
    return _state("moon", t)


def sun(t: float | np.ndarray) -> Body:
    """Return the Sun at `t` [TDB s past J2000], geocentric, no light time; ValueError outside."""
    bary, planet, luna = (_state(name, t) for name in ("earthmoon", "sun", "moon"))
    share = 1.0 / (1.0 + _de421().EMRAT)
    earth = Body(bary.r - share * luna.r, bary.v - share * luna.v)
    return Body(planet.r - earth.r, planet.v - earth.v)
