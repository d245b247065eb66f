"""Density of the air along an entry: the standard atmosphere, tabulated to be quick.

An entry asks for the density a thousand times. Between entries of the table, 250 m apart, its
logarithm is taken for straight: off by 0.1 % at most, next to the bounds of the standard's layers.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import exp, log

from mplan.physics.bodies import atmosphere

TOP = 150e3  # m: above, the air is neglected (2e-9 kg/m3: 1e-3 m/s2 at 11 km/s)
SPACING = 250.0  # m
_PER_METRE = 1.0 / SPACING


def density(altitude: float) -> float:
    """Return the density [kg/m3] of the US Standard Atmosphere 1976 at an altitude [m]."""
    logs, rises = _table()
    at = altitude * _PER_METRE
    if at < 0.0:
        return atmosphere.standard_air(0.0).density
    i = int(at)
    if i >= len(rises):
        return 0.0
    return exp(logs[i] + (at - i) * rises[i])


@cache
def _table() -> tuple[list[float], list[float]]:
    """Return the logarithms of the density, and what they rise by to the next."""
    count = round(TOP / SPACING)
    logs = [log(atmosphere.standard_air(i * SPACING).density) for i in range(count + 1)]
    return logs, [after - before for before, after in pairwise(logs)]
