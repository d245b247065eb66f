"""The front door of lesson 1, why leaving for the Moon takes 3 km/s and when."""

from __future__ import annotations

from mplan.lessons.leaving.panels import circles, ellipse, month, passes, times
from mplan.lessons.leaving.questions import (
    check_circle,
    check_distance,
    check_far_and_near,
    check_time,
    check_turn,
)
from mplan.lessons.leaving.tables import beside

__all__ = [
    "beside",
    "check_circle",
    "check_distance",
    "check_far_and_near",
    "check_time",
    "check_turn",
    "circles",
    "ellipse",
    "month",
    "passes",
    "times",
]
