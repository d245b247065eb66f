"""The pictures of the whole mission; a picture shows itself as a cell's last line."""

from __future__ import annotations

from mplan.checks import contact as contact_log
from mplan.plan import Plan
from mplan.show import contact as contact_shown
from mplan.show.contact.rows import NO_LINKS, NO_STATIONS
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.mission import burn_bars, event_ladder, flight_path
from mplan.show.notebook import Words, sentence
from mplan.show.reached import asks_climb, asks_splash


@asks_climb
def budget_bars(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the burns as bars [m/s]: required, reserved and margin, against what is available."""
    return Picture(burn_bars.drawing(plan, theme))


@asks_splash
def timeline(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return phases, crew and turning points over time [d] since lift-off."""
    return Picture(event_ladder.drawing(plan, theme))


@asks_splash
def trajectory(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the way to the Moon and home [km], to scale, in the plane of the Moon's orbit."""
    return Picture(flight_path.drawing(plan, theme))


@asks_climb
def contact(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return who on Earth sees the mission over its time [d], craft by craft."""
    log = contact_log.of(plan.flight)
    return Picture(contact_shown.drawing(log, theme)) if log.passes else sentence(NO_STATIONS)


@asks_climb
def link_margins(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the margin [dB] of each radio link over the mission's time [d]."""
    log = contact_log.of(plan.flight)
    return Picture(contact_shown.margins(log, theme)) if log.links else sentence(NO_LINKS)
