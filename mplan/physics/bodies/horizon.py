"""Directions over a place: altitude above its horizon, azimuth from north."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

import numpy as np


class Direction(NamedTuple):
    """Where something stands: `altitude`, `azimuth` (from north by east) [rad], `distance` [m].

    Shape () or (n,), as asked.
    """

    altitude: np.ndarray
    azimuth: np.ndarray
    distance: np.ndarray


ON_POLE = 1e-9  # rad, 2 mm on the Moon: nearer to it no way is north


def over_horizon(towards: np.ndarray, up: np.ndarray, pole: np.ndarray) -> Direction:
    """Return where `towards` (..., 3) [m, from the place] stands over a place.

    `up` is the place's vertical, `pole` the axis of the body that north is reckoned from, both of
    any length. On the pole itself the azimuth is NaN.
    """
    zenith = _unit(up)
    east = np.cross(_unit(pole), zenith)
    eastward, northward = np.sum(towards * east, -1), np.sum(towards * np.cross(zenith, east), -1)
    azimuth = np.arctan2(eastward, northward) % (2.0 * pi)
    azimuth = np.where(np.linalg.norm(east, axis=-1) < ON_POLE, np.nan, azimuth)
    level = np.linalg.norm(np.cross(towards, zenith), axis=-1)
    altitude = np.arctan2(np.sum(towards * zenith, -1), level)
    return Direction(altitude, azimuth, np.linalg.norm(towards, axis=-1))


def _unit(vectors: np.ndarray) -> np.ndarray:
    return vectors / np.linalg.norm(vectors, axis=-1, keepdims=True)
