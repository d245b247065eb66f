"""What a panel's plan is compared with: the file's, or a state that was pinned."""

from __future__ import annotations

from dataclasses import dataclass

from mplan.plan import Plan
from mplan.show.drawn.figure import Drawing
from mplan.show.panels.history import Values


@dataclass(frozen=True)
class ComparedWith:
    """A plan, the values of the sliders it was flown for, and its pictures."""

    name: str  # as in "compared with ..."
    plan: Plan
    values: Values
    drawings: tuple[Drawing, ...]
