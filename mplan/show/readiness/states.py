"""The states of a line of the readiness sheet: a word, and a mark that tells it without colour."""

from __future__ import annotations

from typing import Literal

ReadyState = Literal[
    "met", "not met", "to decide", "planned", "for information", "not stated", "not examined"
]
MARKS: dict[ReadyState, str] = {
    "met": "\N{CHECK MARK}",
    "not met": "\N{MULTIPLICATION X}",
    "to decide": "?",
    "planned": "\N{BULLET}",
    "for information": "i",
    "not stated": "\N{EN DASH}",
    "not examined": "\N{EN DASH}",
}
# As people look for them: what stops first.
ORDER: tuple[ReadyState, ...] = (
    "not met",
    "to decide",
    "not examined",
    "not stated",
    "met",
    "planned",
    "for information",
)


def marked(state: ReadyState) -> str:
    """Return a state with its mark."""
    return f"{MARKS[state]} {state}"


def held(left: float | None) -> ReadyState:
    """Return the state of what has so much left up to its limit."""
    if left is None:
        return "not stated"
    return "met" if left >= 0.0 else "not met"
