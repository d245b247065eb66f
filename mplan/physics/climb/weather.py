"""The weather that a vehicle climbs through: the air of the day, and the wind over the altitude."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import cos, sin
from typing import NamedTuple

from mplan.physics.bodies.days import STANDARD_DAY, AirDay

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


@lru_cache(maxsize=64)
def wind_of(rows: tuple[WindRow, ...]) -> Wind:
    """Return the wind over the altitude, straight between rows, by its two components.

    Below the lowest row as there; above the highest it fades out up to 80 km.
    """
    heights = [row.altitude for row in rows]

    def wind(altitude: float) -> tuple[float, float]:
        i = bisect_right(heights, altitude)
        if i == 0:
            return rows[0].east, rows[0].north
        low = rows[i - 1]
        if i == len(rows):
            room = WIND_ENDS - low.altitude
            share = max(0.0, (WIND_ENDS - altitude) / room) if room > 0.0 else 0.0
            return share * low.east, share * low.north
        high = rows[i]
        part = (altitude - low.altitude) / (high.altitude - low.altitude)
        return low.east + part * (high.east - low.east), low.north + part * (high.north - low.north)

    return wind


@lru_cache(maxsize=64)
def blows(weather: Weather, strength: float, towards: float) -> Wind | None:
    """Return the weather's wind and, on top, the design wind times a `strength`; None if neither.

    The design wind blows towards an azimuth [rad].
    """
    design = tuple(
        WindRow(h, strength * w * sin(towards), strength * w * cos(towards)) for h, w in DESIGN_WIND
    )
    if not strength:
        return wind_of(weather.wind) if weather.wind else None
    if not weather.wind:
        return wind_of(design)
    one, other = wind_of(weather.wind), wind_of(design)

    def both(altitude: float) -> tuple[float, float]:
        (east, north), (more_east, more_north) = one(altitude), other(altitude)
        return east + more_east, north + more_north

    return both
