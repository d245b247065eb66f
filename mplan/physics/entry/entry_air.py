"""Density of the air along an entry: the standard atmosphere, tabulated to be quick.

An entry asks for the density a thousand times. Between entries of the table, 250 m apart, its
logarithm is taken for straight: off by 0.1 % at most, next to the bounds of the standard's layers.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from math import exp, log
from typing import NamedTuple

from mplan.physics.bodies import atmosphere
from mplan.physics.compiling import Table, source, table

TOP = 150e3  # m: above, the air is neglected (2e-9 kg/m3: 1e-3 m/s2 at 11 km/s)
SPACING = 250.0  # m
_PER_METRE = 1.0 / SPACING


class EntryAir(NamedTuple):
    """Logarithms of the density [kg/m3] from the ground up, and the density at the ground."""

    logs: Table
    ground: float


NO_AIR = EntryAir(table(()), 0.0)


def air_table(at: Callable[[float], float]) -> EntryAir:
    """Return the table of a density [kg/m3] over the altitude [m]."""
    return EntryAir(table(log(at(i * SPACING)) for i in range(round(TOP / SPACING) + 1)), at(0.0))


@cache
def standard() -> EntryAir:
    """Return the US Standard Atmosphere 1976."""
    return air_table(lambda altitude: atmosphere.standard_air(altitude).density)


def density(altitude: float) -> float:
    """Return the density [kg/m3] of the US Standard Atmosphere 1976 at an altitude [m]."""
    return density_in(altitude, standard())


@source
def density_in(altitude: float, air: EntryAir) -> float:
    """Return the density [kg/m3] of an air at an altitude [m]."""
    at = altitude * _PER_METRE
    if not at < len(air.logs) - 1.0:
        return 0.0
    if at < 0.0:
        return air.ground
    i = int(at)
    return exp(air.logs[i] + (at - i) * (air.logs[i + 1] - air.logs[i]))
