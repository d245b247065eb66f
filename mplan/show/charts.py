"""The pictures of a plan, one function each; a picture shows itself as a cell's last line."""

from __future__ import annotations

from mplan.plan import Plan
from mplan.show import burn_bars, event_ladder, flight_path
from mplan.show.figure import Picture
from mplan.show.palette import Theme


def budget(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the burns as bars [m/s]: needed, held back and left over, against what is there."""
    return Picture(burn_bars.drawing(plan, theme))


def timeline(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return phases, crew and turning points over time [d] since lift-off."""
    return Picture(event_ladder.drawing(plan, theme))


def trajectory(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the way to the Moon and home [km], to scale, in the plane of the Moon's orbit."""
    return Picture(flight_path.drawing(plan, theme))
