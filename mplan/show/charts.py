"""The pictures of a plan, one function each; a picture shows itself as a cell's last line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from mplan.plan import Plan
from mplan.show import (
    burn_bars,
    cost_map,
    event_ladder,
    flight_path,
    launch_calendar,
    loop_curves,
    moon_view,
    turning_frame,
)
from mplan.show.figure import Picture
from mplan.show.palette import Theme
from mplan.studies.loops import Loop
from mplan.studies.maps import Map
from mplan.studies.windows import Answer


def budget(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the burns as bars [m/s]: needed, held back and left over, against what is there."""
    return Picture(burn_bars.drawing(plan, theme))


def timeline(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return phases, crew and turning points over time [d] since lift-off."""
    return Picture(event_ladder.drawing(plan, theme))


def trajectory(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the way to the Moon and home [km], to scale, in the plane of the Moon's orbit."""
    return Picture(flight_path.drawing(plan, theme))


def turning(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the way there and home [km] in the frame that turns with Earth and Moon."""
    return Picture(turning_frame.drawing(plan, theme))


def approach(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the last two hours before the Moon [km], with night, ground tracks and site."""
    return Picture(moon_view.drawing(plan, theme))


def calendar(
    answers: Iterable[Answer], plan: Plan | None = None, *, theme: Theme | None = None
) -> Picture:
    """Return launch windows: a row a day, clock time [UTC, h] across; `plan`'s lift-off marked."""
    return Picture(launch_calendar.drawing(answers, plan, theme))


def costs(found: Map, what: str = "Delta-v", *, theme: Theme | None = None) -> Picture:
    """Return delta-v [m/s] over start and time of flight [h], the cheapest cell framed."""
    return Picture(cost_map.drawing(found, what, theme))


def loops(
    curves: Mapping[float, Sequence[Loop]], free: Sequence[Loop], *, theme: Theme | None = None
) -> Picture:
    """Return the way back's perigee [km] over the time to the Moon [h], by perilune altitude."""
    return Picture(loop_curves.drawing(curves, free, theme))
