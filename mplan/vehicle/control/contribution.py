"""One cause of an angular acceleration, wanted or not."""

from __future__ import annotations

from typing import Literal, NamedTuple

Axis = Literal["pitch", "roll"]
AXES: tuple[Axis, ...] = ("pitch", "roll")
WORDS = {"pitch": "pitch and yaw", "roll": "roll"}


class Contribution(NamedTuple):
    """What one cause gives about each axis [rad/s2]; yaw is as pitch."""

    cause: str
    pitch: float
    roll: float
