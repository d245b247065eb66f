"""The front door of lesson 3, close this stack."""

from __future__ import annotations

from mplan.lessons.closing.panel import panel
from mplan.lessons.closing.questions import check_more, short
from mplan.lessons.closing.task import free_keys, limits_of_the_pad
from mplan.lessons.closing.trial import attempt, stops

__all__ = [
    "attempt",
    "check_more",
    "free_keys",
    "limits_of_the_pad",
    "panel",
    "short",
    "stops",
]
