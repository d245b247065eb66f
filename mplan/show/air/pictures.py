"""The pictures of the entry; a picture shows itself as a cell's last line."""

from __future__ import annotations

from collections.abc import Callable

from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.air import bank_curve, corridor_edges, heating_curve, load_curve, parachute_path
from mplan.show.air.tables import NOT_FLOWN, SKIPS
from mplan.show.drawn.figure import Drawing, Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words
from mplan.show.reached import asks_home


@asks_home
def corridor(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return altitude [km] over speed [km/s] between the corridor's edges."""
    return _picture(plan, corridor_edges.drawing, theme)


@asks_home
def loads(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the deceleration [g] over time [min]."""
    return _picture(plan, load_curve.drawing, theme)


@asks_home
def bank(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the bank angle [deg], and when it reverses, over time [min]."""
    return _picture(plan, bank_curve.drawing, theme)


@asks_home
def heating(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the heating of the nose [MW/m2] over time [min]."""
    return _picture(plan, heating_curve.drawing, theme)


@asks_home
def parachutes(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the last minutes under the parachutes."""
    entry = plan.flight.end.entry
    if entry is not None and not entry.lands:
        return notebook.sentence(SKIPS)
    return _picture(plan, parachute_path.drawing, theme)


def _picture(
    plan: Plan, drawing: Callable[[Plan, Theme | None], Drawing], theme: Theme | None
) -> Picture | Words:
    if plan.flight.end.entry is None:
        return notebook.sentence(NOT_FLOWN)
    return Picture(drawing(plan, theme))
