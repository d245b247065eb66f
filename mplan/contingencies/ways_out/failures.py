"""What may fail, or be called off, at any time of a flight."""

from __future__ import annotations

from typing import Literal

FailureName = Literal[
    "main engine lost",  # that of the burn that is on, or comes next, burns no more
    "one engine lost",  # of those that burn together there; of one alone it is the main engine
    "called off",  # all works, and the crew go home from here
    "cabin leaks",  # the crew are in another cabin, or in suits
    "half the power lost",  # half of what is stored, and of what generates
]
FAILURES: tuple[FailureName, ...] = (
    "main engine lost",
    "one engine lost",
    "called off",
    "cabin leaks",
    "half the power lost",
)
