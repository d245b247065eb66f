"""The air of a warm or a cold day: temperature over altitude, and what hydrostatics makes of it.

Warm and cold days are the tropical and the mid-latitude winter model of AFGL-TR-86-0110 (Anderson
et al. 1986, tables 1a and 1c; temperatures as reprinted in several public copies, not read in the
report). From the pressure at the ground up, pressure follows from the hydrostatic equation in
geopotential altitude (NASA-TM-X-74335, eq. 24) and density from the gas law, for dry air: with the
moisture of a tropical day air near the ground is 1 % thinner. From 86 km the ratio to the standard
fades out up to 120 km, where the models by season of the US Standard Atmosphere Supplements, 1966
come together.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import exp, log, sqrt
from typing import Literal, NamedTuple

from mplan.physics.bodies.atmosphere import (
    G0,
    GAMMA,
    M0,
    R0,
    R_STAR,
    TOP_OF_LAYERS,
    density_pressure_sound,
    standard_air,
)
from mplan.physics.compiling import Table, source, table
from mplan.physics.roots import root

DayName = Literal["standard", "warm", "cold"]
# Altitude [m] to density [kg/m3], pressure [Pa] and speed of sound [m/s].
ThinAir = Callable[[float], tuple[float, float, float]]

STEP = 250.0  # m between the rows kept
TOGETHER = 120e3  # m, where all days are the standard's
# Where an offset is felt in full, gone, of the other sign at its most, and gone for good [m]: the
# shape by which tropical air departs from the standard, warm below the tropopause, cold above.
FULL, TURNS, OTHER, GONE = 11e3, 13e3, 16.5e3, 25e3
_GAS = R_STAR / M0  # J/(kg K)

# Geometric altitude [km] and temperatures [K] there.
_KM = (*range(26), 27.5, 30.0, 32.5, 35.0, 37.5, 40.0, 42.5, 45.0, 47.5, 50.0, *range(55, 95, 5))
_WARM = (
    *(299.7, 293.7, 287.7, 283.7, 277.0, 270.3, 263.6, 257.0, 250.3, 243.6, 237.0, 230.1, 223.6),
    *(217.0, 210.3, 203.7, 197.0, 194.8, 198.8, 202.7, 206.7, 210.7, 214.6, 217.0, 219.2, 221.4),
    *(227.0, 232.3, 237.7, 243.1, 248.5, 254.0, 259.4, 264.8, 269.6, 270.2),
    *(263.4, 253.1, 236.0, 218.9, 201.8, 184.8, 177.1, 177.0),
)
_COLD = (
    *(272.2, 268.7, 265.2, 261.7, 255.7, 249.7, 243.7, 237.7, 231.7, 225.7, 219.7, 219.2, 218.7),
    *(218.2, 217.7, 217.2, 216.7, 216.2, 215.7, 215.2, 215.2, 215.2, 215.2, 215.2, 215.2, 215.2),
    *(215.5, 217.4, 220.4, 227.9, 235.5, 243.2, 250.8, 258.5, 265.1, 265.7),
    *(260.6, 250.8, 240.9, 230.7, 220.4, 210.1, 199.8, 199.5),
)
_TABLES = {"warm": _WARM, "cold": _COLD}
_GROUND = {"standard": 101325.0, "warm": 101300.0, "cold": 101800.0}  # Pa, as those models have it


@dataclass(frozen=True)
class AirDay:
    """A day of launch by its `name`, and how much `warmer` [K] it is than that, up to 11 km."""

    name: DayName = "standard"
    warmer: float = 0.0


STANDARD_DAY = AirDay()


def temperature(day: AirDay, altitude: float) -> float:
    """Return the temperature [K] at a geometric `altitude` [m], up to 86 km."""
    if day.name == "standard":
        found = standard_air(altitude).temperature
    else:
        km, table = altitude / 1e3, _TABLES[day.name]
        i = min(max(0, bisect_right(_KM, km) - 1), len(_KM) - 2)
        part = (km - _KM[i]) / (_KM[i + 1] - _KM[i])
        found = table[i] + part * (table[i + 1] - table[i])
    return found + day.warmer * _share(altitude, _depth(day)) if day.warmer else found


def _share(altitude: float, depth: float) -> float:
    """Return the share of a temperature offset that is felt at an altitude [m]."""
    if altitude <= TURNS:
        return min(1.0, (TURNS - altitude) / (TURNS - FULL))
    if altitude <= OTHER:
        return -depth * (altitude - TURNS) / (OTHER - TURNS)
    return -depth * max(0.0, (GONE - altitude) / (GONE - OTHER))


@lru_cache(maxsize=32)
def _depth(day: AirDay) -> float:
    """Return how much colder than warmer it gets, so that the pressure is the same again above.

    The weight of a column follows from the mean of 1/T: colder air above makes up for warmer below.
    """
    places = [i * STEP for i in range(int(GONE / STEP) + 1)]
    plain = [temperature(AirDay(day.name), z) for z in places]

    def lighter(depth: float) -> float:
        pairs = zip(places, plain, strict=True)
        return sum(1.0 / (t + day.warmer * _share(z, depth)) - 1.0 / t for z, t in pairs)

    return root(lighter, 0.0, 3.0, 1e-6)


class DayAir(NamedTuple):
    """The air of a day, as tables by `STEP`: logarithms of density and pressure, speed of sound.

    No rows on a standard day. What is `thicker` at their end, in logarithms, fades out above.
    """

    density: Table
    pressure: Table
    sound: Table
    denser: float
    thicker: float


@lru_cache(maxsize=32)
def day_tables(day: AirDay) -> DayAir:
    """Return the tables of a day."""
    if day == STANDARD_DAY:
        return DayAir(table(()), table(()), table(()), 0.0, 0.0)
    rows = _rows(day)
    ends = rows[-1]
    density, pressure, _ = density_pressure_sound(TOP_OF_LAYERS)
    thin, pressed, sound = (table(each) for each in zip(*rows, strict=True))
    return DayAir(thin, pressed, sound, ends[0] - log(density), ends[1] - log(pressure))


@source
def day_air(altitude: float, day: DayAir) -> tuple[float, float, float]:
    """Return density [kg/m3], pressure [Pa] and speed of sound [m/s] at an altitude [m].

    Pressure and density between rows 250 m apart by their logarithms: to 0.04 %, where the
    temperature bends between two rows.
    """
    count = len(day.density)
    if count == 0:
        return density_pressure_sound(altitude)
    if altitude > TOP_OF_LAYERS:
        share = max(0.0, (TOGETHER - altitude) / (TOGETHER - TOP_OF_LAYERS))
        density, pressure, _ = density_pressure_sound(altitude)
        sound = day.sound[count - 1]
        return density * exp(share * day.denser), pressure * exp(share * day.thicker), sound
    i = int(min(max(0.0, altitude / STEP), count - 2.0))
    part = altitude / STEP - i
    return (
        exp(day.density[i] + part * (day.density[i + 1] - day.density[i])),
        exp(day.pressure[i] + part * (day.pressure[i + 1] - day.pressure[i])),
        day.sound[i] + part * (day.sound[i + 1] - day.sound[i]),
    )


@lru_cache(maxsize=32)
def air_of(day: AirDay) -> ThinAir:
    """Return the air of a day over the altitude [m]."""
    if day == STANDARD_DAY:
        return density_pressure_sound
    tables = day_tables(day)
    return lambda altitude: day_air(altitude, tables)


def _rows(day: AirDay) -> list[tuple[float, float, float]]:
    """Return logarithms of density and pressure, and the speed of sound, from the ground up."""
    rows, pressure, below = [], log(_GROUND[day.name]), 0.0
    warm = temperature(day, 0.0)
    for i in range(int(TOP_OF_LAYERS / STEP) + 1):
        altitude = i * STEP
        geopotential, now = R0 * altitude / (R0 + altitude), temperature(day, altitude)
        pressure -= G0 / _GAS * (geopotential - below) * (1.0 / warm + 1.0 / now) / 2.0
        rows.append((pressure - log(_GAS * now), pressure, sqrt(GAMMA * _GAS * now)))
        below, warm = geopotential, now
    return rows
