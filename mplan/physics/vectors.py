"""Three-vectors. NumPy's own `cross` takes fifteen times as long for a single pair.

What is asked for each arc that is tried works with plain floats (`Vector`): three to five times as
quick as with arrays of three.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import cos, sin, sqrt
from typing import Any, Literal, TypeVar

import numpy as np

T = TypeVar("T")
Vector = tuple[float, float, float]  # where plain floats are quicker than an array


def cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Return the vector product of two vectors of shape (3,)."""
    ax, ay, az = a.tolist()
    bx, by, bz = b.tolist()
    return np.array([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx])


def crossed(a: Vector, b: Vector) -> Vector:
    """Return the vector product of two vectors of plain floats: a third of the time of `cross`."""
    ax, ay, az = a
    bx, by, bz = b
    return ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx


def dotted(a: Vector, b: Vector) -> float:
    """Return the scalar product of two vectors of plain floats."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def scaled(vector: Vector, by: float) -> Vector:
    """Return a vector of plain floats times a number."""
    return vector[0] * by, vector[1] * by, vector[2] * by


def directed(vector: Vector) -> Vector:
    """Return a vector of plain floats scaled to length one."""
    return scaled(vector, 1.0 / sqrt(dotted(vector, vector)))


def across(vector: Vector, axis: Vector) -> Vector:
    """Return the part of a vector of plain floats that lies across a unit `axis`."""
    along = dotted(vector, axis)
    return (vector[0] - along * axis[0], vector[1] - along * axis[1], vector[2] - along * axis[2])


def turned_floats(vector: Vector, axis: Vector, angle: float) -> Vector:
    """Return what `turned` does, of plain floats."""
    c, s = cos(angle), sin(angle)
    (x, y, z), (a, b, d) = vector, crossed(axis, vector)
    on = dotted(axis, vector) * (1.0 - c)
    return x * c + a * s + axis[0] * on, y * c + b * s + axis[1] * on, z * c + d * s + axis[2] * on


def floats(vector: np.ndarray) -> Vector:
    """Return a vector (3,) as plain floats."""
    x, y, z = vector.tolist()
    return x, y, z


def length(vector: np.ndarray) -> float:
    """Return the length of `vector` (3,): by plain floats, a tenth of the time of `norm`."""
    x, y, z = vector.tolist()
    return sqrt(x * x + y * y + z * z)


def cosine_between(a: np.ndarray, b: np.ndarray) -> float:
    """Return the cosine of the angle between two unit vectors (3,).

    Their product alone may lie beyond one by rounding, where no angle has it as its cosine.
    """
    return max(-1.0, min(1.0, inner(a, b)))


def inner(a: np.ndarray, b: np.ndarray) -> float:
    """Return the scalar product of two vectors of shape (3,): by plain floats, as `length`."""
    ax, ay, az = a.tolist()
    bx, by, bz = b.tolist()
    return float(ax * bx + ay * by + az * bz)


def unit(vector: np.ndarray) -> np.ndarray:
    """Return `vector` (3,) scaled to length one; one of no length has no direction either: nan."""
    x, y, z = vector.tolist()
    size = sqrt(x * x + y * y + z * z)
    return np.array([x / size, y / size, z / size]) if size else vector / size


def turned(vector: np.ndarray, axis: np.ndarray, angle: float) -> np.ndarray:
    """Return `vector` turned about the unit `axis` by `angle` [rad] (Rodrigues)."""
    return np.array(turned_floats(floats(vector), floats(axis), angle))


def frozen(value: T) -> T:
    """Return `value` with its arrays made read-only: an array, or a tuple or mapping of them.

    For what is kept and handed out again: a record (`freeze`), or a remembered result.
    """
    _freeze(value)
    return value


def _freeze(value: Any) -> None:  # noqa: ANN401 (whatever a record holds)
    """Do what `frozen` says; asked thousands of times a flight, mostly of text and numbers."""
    holds = _holds(type(value))  # type: ignore[arg-type]  # a class can be hashed
    if holds == "numbers":
        value.flags.writeable = False
    elif holds:
        for part in value.values() if holds == "values" else value:
            if _holds(type(part)):  # type: ignore[arg-type]
                _freeze(part)


@cache
def _holds(kind: type) -> Literal["numbers", "parts", "values", ""]:
    """Return what a type holds, looked up once: to ask an abstract class takes a microsecond."""
    if issubclass(kind, np.ndarray):
        return "numbers"
    if issubclass(kind, tuple):
        return "parts"
    return "values" if issubclass(kind, Mapping) else ""


def lock(*arrays: np.ndarray) -> None:
    """Make arrays read-only: for records of arrays alone, that are made for each arc tried."""
    for each in arrays:
        each.setflags(write=False)


def freeze(record: object) -> None:
    """Make the arrays of a dataclass read-only, also in the tuples it holds."""
    for value in vars(record).values():
        if _holds(type(value)):  # type: ignore[arg-type]
            _freeze(value)
