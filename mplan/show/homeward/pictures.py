"""The pictures of the way home; a picture shows itself as a cell's last line."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.homeward import latitude_curves
from mplan.show.homeward.tables import NO_BURN, WAITS, find
from mplan.show.notebook import Words
from mplan.show.reached import asks_home
from mplan.show.translunar import cost_map
from mplan.studies import latitudes


@asks_home
def costs(
    plan: Plan, waits: Sequence[float] = WAITS, *, theme: Theme | None = None
) -> Picture | Words:
    """Return the return burn [m/s] over waits [h] and times of flight, as a map."""
    if plan.flight.end.homeward is None:
        return notebook.sentence(NO_BURN)
    return Picture(cost_map.drawing(find(plan, waits), "Return burn, impulsive", theme))


@asks_home
def splashes(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return what each latitude of splash costs, as curves."""
    found = latitudes.reaches(plan)
    if not found:
        return notebook.sentence(NO_BURN)
    return Picture(latitude_curves.drawing(found, theme))
