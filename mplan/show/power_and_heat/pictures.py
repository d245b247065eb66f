"""The picture of electric energy; it shows itself as a cell's last line."""

from __future__ import annotations

from mplan.checks import power_and_heat
from mplan.plan import Plan
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words, sentence
from mplan.show.power_and_heat import charge_lines
from mplan.show.power_and_heat.rows import NOTHING_STORED
from mplan.show.reached import asks_splash


@asks_splash
def charge(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the state of charge [%] of every store that is used, over the mission's time [d]."""
    curves = power_and_heat.charge_curves(plan.flight)
    return Picture(charge_lines.drawing(curves, theme)) if curves else sentence(NOTHING_STORED)
