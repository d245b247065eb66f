"""The pictures of the way to the Moon; a picture shows itself as a cell's last line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from mplan.physics.constants import HOUR
from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words
from mplan.show.reached import asks_splash
from mplan.show.translunar import cost_map, launch_calendar, loop_curves, moon_view, turning_frame
from mplan.show.translunar.tables import ALTITUDES, NO_ORBIT
from mplan.studies import loops, maps
from mplan.studies.windows import Answer

FLIGHTS = (58.0, 66.0, 74.0, 82.0, 90.0, 98.0)  # h
DAYS = 10  # of the map


@asks_splash
def turning(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the way to the Moon and home [km] in the frame that turns with Earth and Moon."""
    return Picture(turning_frame.drawing(plan, theme))


@asks_splash
def approach(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return the last two hours before the Moon [km], with night, ground tracks and site."""
    return Picture(moon_view.drawing(plan, theme))


def calendar(
    found: Iterable[Answer], plan: Plan | None = None, *, theme: Theme | None = None
) -> Picture:
    """Return launch windows: a row a day, clock time [UTC, h] across; `plan`'s lift-off marked."""
    of = [] if plan is None else [plan.scenario.source.stem]
    return Picture(launch_calendar.drawing(found, plan, theme), *of, "windows")


@asks_splash
def costs(
    plan: Plan, days: int = DAYS, flights: Sequence[float] = FLIGHTS, *, theme: Theme | None = None
) -> Picture | Words:
    """Return injection and capture together [m/s] over days and times of flight [h]."""
    if plan.scenario.orbits.flyby_altitude is not None:
        return notebook.sentence(NO_ORBIT)
    found = maps.there(plan, days, [x * HOUR for x in flights])
    return Picture(cost_map.drawing(found, "Injection and capture together, impulsive", theme))


@asks_splash
def free_returns(
    plan: Plan, altitudes: Sequence[float] = ALTITUDES, *, theme: Theme | None = None
) -> Picture | Words:
    """Return the family of arcs round the Moon past perilune altitudes [km], without a burn.

    A sentence where none of them comes round.
    """
    heights = [x * 1e3 for x in altitudes]
    free = loops.free_returns(plan, heights)
    times = loop_curves.times(free)
    curves = {x: loops.loop(plan, x, times) for x in heights}
    if not any(curves.values()):
        return notebook.sentence(loop_curves.summary(free))
    return Picture(loop_curves.drawing(curves, free, theme))
