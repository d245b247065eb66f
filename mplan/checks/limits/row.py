"""One figure beside its limit."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal, get_args

Kind = Literal[
    "starts",
    "burn time",
    "longest burn",
    "restart interval",
    "docking cycles",
    "mission",
    "supply",
    "storage for waste",
    "energy",
    "control authority",
    "stranded propellant",
    "unit cost",
    "nonrecurring cost",
]
KINDS: tuple[Kind, ...] = get_args(Kind)


@dataclass(frozen=True)
class LimitRow:
    """A figure of a flight and its limit, both in `unit`; None is not stated.

    `least` marks a limit that the figure may not fall below. `days_left` is how long what is left
    lasts those who used it last. `note` is what a reader should know of the figure.
    """

    kind: Kind
    name: str  # what it is a figure of
    used: float | None
    limit: float | None
    unit: str
    digits: int  # decimals that the figure is good for
    least: bool = False
    days_left: float | None = None
    note: str = ""

    @property
    def left(self) -> float | None:
        """What is left up to the limit; negative beyond it, None where none is stated."""
        if self.limit is None or self.used is None:
            return None
        return self.used - self.limit if self.least else self.limit - self.used

    @property
    def tightness(self) -> float:
        """The share of the limit that is used, or the figure itself where it has no limit."""
        if self.limit is None or self.used is None:
            return self.used or 0.0
        over, under = (self.limit, self.used) if self.least else (self.used, self.limit)
        return over / under if under else (inf if over else 0.0)
