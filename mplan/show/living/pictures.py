"""The pictures of what people live on; a picture shows itself as a cell's last line."""

from __future__ import annotations

from mplan.checks import living
from mplan.plan import Plan
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.living import air_curves, days_curves
from mplan.show.living.rows import NO_AIR, NOBODY
from mplan.show.notebook import Words, sentence
from mplan.show.reached import asks_splash


@asks_splash
def lasting(plan: Plan, cabin: str | None = None, *, theme: Theme | None = None) -> Picture | Words:
    """Return how long each supply of a cabin would still last [d], over the mission's time [d].

    The time that is to be kept is shaded. Without a `cabin` the one that people come home in.
    """
    curves = living.supply_curves(plan.flight)
    if not curves:
        return sentence(NOBODY)
    home = plan.flight.stretches[-1].element
    chosen = [x for x in curves if x.use.element == (cabin or home)]
    if not chosen:
        names = ", ".join(dict.fromkeys(x.use.element for x in curves))
        return sentence(f"Nobody lives in {cabin!r}; people live in: {names}.")
    return Picture(days_curves.drawing(plan.flight, chosen, theme))


@asks_splash
def air(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the partial pressure of carbon dioxide [Pa] in every cabin, and its limit."""
    curves = living.co2_curves(plan.flight)
    return Picture(air_curves.drawing(curves, theme)) if curves else sentence(NO_AIR)
