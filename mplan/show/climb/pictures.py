"""The pictures of the climb; a picture shows itself as a cell's last line."""

from __future__ import annotations

from mplan.contingencies.coverage import Coverage
from mplan.plan import Plan
from mplan.show.climb import control_authority, coverage_bars, curves, escape_distance, loss_bars
from mplan.show.climb.escape_distance import NO_TOWER
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words, sentence
from mplan.show.reached import NOBODY, asks_climb
from mplan.vehicle.escape import motor


@asks_climb
def altitude(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the altitude [km] over the time since lift-off [s]."""
    return Picture(curves.ALTITUDE.drawing(plan, theme))


@asks_climb
def speed(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the inertial speed [m/s] over the time since lift-off [s]."""
    return Picture(curves.SPEED.drawing(plan, theme))


@asks_climb
def acceleration(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the acceleration felt [g] over the time since lift-off [s]."""
    return Picture(curves.ACCELERATION.drawing(plan, theme))


@asks_climb
def dynamic_pressure(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the dynamic pressure [kPa] over the time since lift-off [s]."""
    return Picture(curves.PRESSURE.drawing(plan, theme))


@asks_climb
def losses(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the ideal velocity [m/s] by stage: gained, and lost by cause."""
    return Picture(loss_bars.drawing(plan, theme))


@asks_climb
def escapes(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return how escapes draw away from the stack [m] over time [s], and where the blast is."""
    if motor(plan.scenario) is None:
        return sentence(NO_TOWER)
    return Picture(escape_distance.drawing(plan, theme))


@asks_climb
def coverage(
    found: Coverage, plan: Plan | None = None, *, theme: Theme | None = None
) -> Picture | Words:
    """Return which abort mode of a `plan` is open when [s since lift-off]."""
    if plan is not None and not plan.scenario.mission.crew:
        return sentence(NOBODY)
    return Picture(coverage_bars.drawing(found, theme))


@asks_climb
def control(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return what controls the craft over the climb."""
    return control_authority.climb(plan, theme=theme)


@asks_climb
def control_by_phase(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return what each phase of the mission requires [% of the control authority available]."""
    return control_authority.picture(plan, theme=theme)
