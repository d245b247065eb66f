"""The pictures of landing, stay and ascent; a picture shows itself as a cell's last line."""

from __future__ import annotations

from collections.abc import Callable

from mplan.contingencies import descent_aborts
from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.drawn.figure import Drawing, Picture
from mplan.show.drawn.palette import Theme
from mplan.show.moon import (
    abort_curves,
    ascent_path,
    descent_angles,
    descent_path,
    lift_off_curve,
    rendezvous_track,
    stay_curves,
)
from mplan.show.moon.rendezvous_tables import NO_RENDEZVOUS
from mplan.show.moon.tables import NO_LANDING
from mplan.show.notebook import Words
from mplan.show.reached import NOBODY, asks_splash, no_ascent, no_ship
from mplan.studies import stay


@asks_splash
def descent(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the powered descent: altitude [km] over what is still to go to the site [km]."""
    return _landed(plan, descent_path.drawing, theme)


@asks_splash
def final_descent(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the descent from the high gate down [km]."""
    return _landed(plan, descent_path.near, theme)


@asks_splash
def descent_attitude(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return throttle [%], pitch and look angle [deg] over the time since ignition [s]."""
    return _landed(plan, descent_angles.drawing, theme)


@asks_splash
def aborts(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return what a descent abort requires and has [m/s] over the time of its call [s]."""
    if plan.flight.end.descent is None:
        return notebook.sentence(NO_LANDING)
    if not plan.scenario.mission.landing_crew:
        return notebook.sentence(NOBODY)
    return Picture(abort_curves.drawing(descent_aborts.along_descent(plan.flight), theme))


@asks_splash
def sky(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the Sun and the site's drift [deg] through the stay [h]."""
    if no_ship(plan):
        return notebook.sentence(no_ship(plan))
    times = stay.landed(plan)
    if times is None:
        return notebook.sentence(NO_LANDING)
    length = times[1] - times[0]
    return Picture(stay_curves.drawing(stay.sky(plan), stay.passes(plan), length, theme))


@asks_splash
def lift_offs(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return what lifting off at each pass of the ship requires [m/s]."""
    if no_ship(plan):
        return notebook.sentence(no_ship(plan))
    times = stay.landed(plan)
    if times is None:
        return notebook.sentence(NO_LANDING)
    found, length = stay.passes(plan), times[1] - times[0]
    return Picture(lift_off_curve.drawing(found, stay.window(plan, found), length, theme))


@asks_splash
def ascent(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the ascent from the Moon: altitude [km] over the distance along the ground [km]."""
    if no_ascent(plan):
        return notebook.sentence(no_ascent(plan))
    return _landed(plan, ascent_path.drawing, theme)


@asks_splash
def ascent_attitude(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return pitch [deg] and speed [% of that at cut-off] over the time since lift-off [s]."""
    if no_ascent(plan):
        return notebook.sentence(no_ascent(plan))
    return _landed(plan, ascent_path.attitude, theme)


@asks_splash
def rendezvous(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the way to the ship as seen from it [km]."""
    if plan.flight.end.rendezvous is None:
        return notebook.sentence(NO_RENDEZVOUS)
    return Picture(rendezvous_track.drawing(plan, theme))


def _landed(
    plan: Plan, drawing: Callable[[Plan, Theme | None], Drawing], theme: Theme | None
) -> Picture | Words:
    """Return a picture of a mission that lands, or a sentence of one that does not."""
    if plan.scenario.landing_site is None:
        return notebook.sentence(NO_LANDING)
    return Picture(drawing(plan, theme))
