"""Exit codes, and the one that plans ask for: whether they close and what is left to decide."""

from __future__ import annotations

import argparse
from collections.abc import Iterable

CLOSES, DOES_NOT, BAD_INPUT, STOPPED = 0, 1, 2, 130
EXIT_CODES = (
    "Exit codes: 0 the plan closes and leaves nothing to decide (or --accept-decisions), 1 it does "
    "not, 2 bad input, 130 stopped by Ctrl-C."
)


def add_acceptance(command: argparse.ArgumentParser) -> None:
    """Let a command be told to accept open decisions."""
    command.add_argument(
        "--accept-decisions",
        dest="accepted",
        action="store_true",
        help="exit with 0 too where the plan closes and decisions are open",
    )


def of(asked: argparse.Namespace, answers: Iterable[tuple[bool | None, int]]) -> int:
    """Return the exit code for plans that may close, each with its count of open decisions."""
    good = any(closes and (asked.accepted or not open_) for closes, open_ in answers)
    return CLOSES if good else DOES_NOT
