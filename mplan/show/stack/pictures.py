"""The picture of the stack; it shows itself as a cell's last line."""

from __future__ import annotations

from mplan.plan import Plan
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.stack import side_view


def profile(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the stack on the pad from the side [m], to scale, with what the pad allows."""
    return Picture(side_view.drawing(plan, theme), plan.scenario.source.stem, "stack")
