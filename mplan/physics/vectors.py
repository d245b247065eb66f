"""Three-vectors. NumPy's own `cross` takes fifteen times as long for a single pair."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, sin
from typing import TypeVar

import numpy as np

T = TypeVar("T")
Vector = tuple[float, float, float]  # where plain floats are quicker than an array


def cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Return the vector product of two vectors of shape (3,)."""
    ax, ay, az = a.tolist()
    bx, by, bz = b.tolist()
    return np.array([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx])


def unit(vector: np.ndarray) -> np.ndarray:
    """Return `vector` (3,) scaled to length one."""
    return vector / np.sqrt(vector @ vector)


def turned(vector: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    """Return `vector` turned about the unit `axis` by `angle` [rad] (Rodrigues)."""
    c, s = cos(angle), sin(angle)
    return vector * c + cross(axis, vector) * s + axis * (float(axis @ vector) * (1.0 - c))


def frozen(value: T) -> T:
    """Return `value` with its arrays made read-only: an array, or a tuple or mapping of them.

    For what is kept and handed out again: a record (`freeze`), or a remembered result.
    """
    if isinstance(value, np.ndarray):
        value.flags.writeable = False
    elif isinstance(value, (tuple, Mapping)):
        for part in value.values() if isinstance(value, Mapping) else value:
            frozen(part)
    return value


def freeze(record: object) -> None:
    """Make the arrays of a dataclass read-only, also in the tuples it holds."""
    for value in vars(record).values():
        frozen(value)
