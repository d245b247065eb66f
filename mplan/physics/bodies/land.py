"""Land and sea on Earth, coarsely: one cell of 0.1 deg (11 km at the equator) is land or sea.

A cell is land where any of its points is: islands are found as far as the source has them, and
coasts lie up to a cell too far out. Lakes and inland seas count as land: people live around them.
Source: Hastings and Dunbar (1999), "Global Land One-kilometer Base Elevation (GLOBE)", NOAA
National Geophysical Data Center, 30 arc seconds, public domain; the points it marks as sea.
`tests/physics/bodies/test_land.py` makes the mask anew and compares.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from itertools import pairwise
from math import cos, degrees, radians

import numpy as np

from mplan.physics.constants import R_EARTH

CELL = 0.1  # deg
RESOLUTION = f"a land mask of {CELL:g} deg"
ROWS, COLUMNS = 1800, 3600  # from the north pole down, from 180 deg west on


def is_land(latitude: float, longitude: float) -> bool:
    """Return whether a place [rad, east positive] lies in a cell of land."""
    return bool(_cells()[_cells_of(np.asarray(latitude), np.asarray(longitude))])


def land_near(latitude: float, longitude: float, distance: float) -> bool:
    """Return whether a cell of land lies within `distance` [m] north, south, east or west.

    That is a box around the place, a little more than the circle.
    """
    return bool(near_land(np.array([latitude]), np.array([longitude]), distance)[0])


def near_land(latitude: np.ndarray, longitude: np.ndarray, distance: float) -> np.ndarray:
    """Return the answers of `land_near` for places (n,) [rad].

    The cells of land in each box are counted by a table of sums over all cells (Crow 1984,
    SIGGRAPH 18, 207), which goes on round the Earth.
    """
    row, column = _cells_of(latitude, longitude)
    reach = degrees(distance / R_EARTH) / CELL
    wide = np.minimum(COLUMNS / 2.0, reach / np.maximum(0.01, np.cos(latitude)))
    up, down = np.maximum(0, _whole(row - reach)), _whole(row + reach) + 1
    down, left, right = np.minimum(ROWS, down), _whole(column - wide), _whole(column + wide) + 1
    return _sum(down, right) - _sum(up, right) - _sum(down, left) + _sum(up, left) > 0


def _sum(row: np.ndarray, column: np.ndarray) -> np.ndarray:
    """Return how many cells of land lie above a row and left of a column, which may go round."""
    table = _sums()
    return table[row, column % COLUMNS] + column // COLUMNS * table[row, COLUMNS]


@lru_cache(maxsize=1)
def _sums() -> np.ndarray:
    """Return how many cells of land lie above and left of each corner of the cells."""
    sums = np.zeros((ROWS + 1, COLUMNS + 1), dtype=np.int32)
    np.cumsum(_cells(), axis=1, dtype=np.int32, out=sums[1:, 1:])
    for above, row in pairwise(sums):  # in place: two more tables of 26 MB would take most time
        row += above
    sums.setflags(write=False)
    return sums


def _cells_of(latitude: np.ndarray, longitude: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    row = _whole((90.0 - np.degrees(latitude)) / CELL)
    column = _whole(((np.degrees(longitude) + 180.0) % 360.0) / CELL)
    return np.clip(row, 0, ROWS - 1), np.minimum(column, COLUMNS - 1)


def _whole(number: np.ndarray) -> np.ndarray:
    return np.floor(number).astype(int)


@lru_cache(maxsize=1)
def _cells() -> np.ndarray:
    """Return the mask, read when it is first asked for."""
    with files("mplan.physics.bodies").joinpath("land_mask.npz").open("rb") as file:
        packed = np.load(file)["land"]
    cells = np.unpackbits(packed, axis=1).astype(bool)
    cells.setflags(write=False)
    return cells


def along(
    start: tuple[float, float], end: tuple[float, float], share: float
) -> tuple[float, float]:
    """Return the place [rad] that lies a `share` of the great circle from one place to another."""
    a, b = (_axis(*each) for each in (start, end))
    angle = float(np.arccos(np.clip(a @ b, -1.0, 1.0)))
    if angle < radians(1e-6):
        return end
    there = (np.sin((1.0 - share) * angle) * a + np.sin(share * angle) * b) / np.sin(angle)
    return float(np.arcsin(np.clip(there[2], -1.0, 1.0))), float(np.arctan2(there[1], there[0]))


def _axis(latitude: float, longitude: float) -> np.ndarray:
    flat = cos(latitude)
    return np.array([flat * np.cos(longitude), flat * np.sin(longitude), np.sin(latitude)])
