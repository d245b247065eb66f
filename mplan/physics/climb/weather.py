"""The weather that a vehicle climbs through: the air of the day, and the wind over the altitude."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import cos, sin
from typing import NamedTuple

from mplan.physics.bodies.days import STANDARD_DAY, AirDay
from mplan.physics.compiling import Table, source, table

WIND_ENDS = 80e3  # m, where a wind that is given lower down has faded out
Wind = Callable[[float], tuple[float, float]]  # altitude [m] to m/s towards east and north

# Wind speed over altitude [m, m/s]: the shape of a strong jet-stream profile, 75 m/s at 10 to
# 14 km; common practice for design winds, figures from memory.
DESIGN_WIND = ((0.0, 10.0), (6e3, 45.0), (10e3, 75.0), (14e3, 75.0), (20e3, 25.0), (23e3, 25.0))


class WindRow(NamedTuple):
    """The wind at an `altitude` [m]: what it blows towards the east and the north [m/s]."""

    altitude: float
    east: float
    north: float


@dataclass(frozen=True)
class Weather:
    """The air of a launch `day` and its `wind`, by rising altitude; no rows, no wind."""

    day: AirDay = STANDARD_DAY
    wind: tuple[WindRow, ...] = ()


CALM = Weather()


def wind_row(altitude: float, speed: float, direction: float) -> WindRow:
    """Return the wind at an altitude [m] by its speed [m/s] and where it comes from [rad].

    The direction is counted from north through east, as meteorologists have it.
    """
    return WindRow(altitude, -speed * sin(direction), -speed * cos(direction))


class WindTable(NamedTuple):
    """A wind over rising heights [m]: what it blows towards the east and the north [m/s]."""

    heights: Table
    east: Table
    north: Table


class Winds(NamedTuple):
    """The winds that blow at once, and whether any does."""

    blow: bool
    weather: WindTable
    design: WindTable


@lru_cache(maxsize=64)
def wind_table(rows: tuple[WindRow, ...]) -> WindTable:
    """Return rows as tables."""
    heights, east, north = zip(*rows, strict=True) if rows else ((), (), ())
    return WindTable(table(heights), table(east), table(north))


@source
def wind_at(altitude: float, wind: WindTable) -> tuple[float, float]:
    """Return a wind towards east and north [m/s], straight between rows.

    Below the lowest row as there; above the highest it fades out up to 80 km.
    """
    count = len(wind.heights)
    if count == 0:
        return 0.0, 0.0
    i = bisect_right(wind.heights, altitude)
    if i == 0:
        return wind.east[0], wind.north[0]
    low, east, north = wind.heights[i - 1], wind.east[i - 1], wind.north[i - 1]
    if i >= count:
        room = WIND_ENDS - low
        share = max(0.0, (WIND_ENDS - altitude) / room) if room > 0.0 else 0.0
        return share * east, share * north
    part = (altitude - low) / (wind.heights[i] - low)
    return east + part * (wind.east[i] - east), north + part * (wind.north[i] - north)


@source
def blown(altitude: float, winds: Winds) -> tuple[float, float]:
    """Return what all winds blow towards east and north [m/s]."""
    east, north = wind_at(altitude, winds.weather)
    more_east, more_north = wind_at(altitude, winds.design)
    return east + more_east, north + more_north


def wind_of(rows: tuple[WindRow, ...]) -> Wind:
    """Return the wind over the altitude, by its two components (`wind_at`)."""
    wind = wind_table(rows)
    return lambda altitude: wind_at(altitude, wind)


@lru_cache(maxsize=64)
def winds_of(weather: Weather, strength: float = 0.0, towards: float = 0.0) -> Winds:
    """Return the weather's wind and, on top, the design wind times a `strength`.

    The design wind blows towards an azimuth [rad].
    """
    design = tuple(
        WindRow(h, strength * w * sin(towards), strength * w * cos(towards)) for h, w in DESIGN_WIND
    )
    blow = bool(strength or weather.wind)
    return Winds(blow, wind_table(weather.wind), wind_table(design if strength else ()))


def blows(weather: Weather, strength: float, towards: float) -> Wind | None:
    """Return all winds (`winds_of`) over the altitude; None if there is none."""
    winds = winds_of(weather, strength, towards)
    return (lambda altitude: blown(altitude, winds)) if winds.blow else None
