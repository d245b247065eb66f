"""A mission on another day: its ships moved together, and the one whose launch the Moon dates.

The Moon dates the launch of every ship but those that are to meet another one in Earth orbit: these
follow into its plane. Moved ones keep the days between their launches.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any

from mplan.flight import launch, translunar, walk
from mplan.flight.record import Flight
from mplan.flight.ships.second_launch import MEETING
from mplan.flight.unflyable import Unflyable
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.launching.interval import Interval
from mplan.plan import Plan
from mplan.scenario import DockEvent, Scenario
from mplan.scenario.events import has_burn

INSIDE = timedelta(minutes=1)  # from the end of a window, where that is flown


def leader(scenario: Scenario) -> str:
    """Return the ship whose launch window is asked for, "" for the main ship.

    That is the main ship, unless it is launched to meet another one in Earth orbit: then that one,
    which stands in the same plane and leaves for the Moon with it.
    """
    name = ""
    for _ in scenario.views:
        events = of_ship(scenario, name).events
        if not has_burn(events, MEETING):
            return name
        docks = (x for x in events if isinstance(x, DockEvent))
        named = {x for dock in docks for x in (dock.target, dock.element)}
        met = (x for x, view in scenario.views.items() if x != name and named & set(view.stack))
        name = next(met, name)
    return name


def of_ship(scenario: Scenario, name: str) -> Scenario:
    """Return the mission as a ship sees it, the main ship being ""."""
    return scenario.views[name] if name else scenario


def flight_of(plan: Plan, name: str) -> Flight:
    """Return the flight of a ship, that of the main ship being ""."""
    return plan.flight.others[name] if name else plan.flight


def key(name: str, dotted: str) -> str:
    """Return the key of the file that states something for a ship, the main ship being ""."""
    return f"ships.{name}.{dotted}" if name else dotted


def moved(scenario: Scenario, day: date) -> Scenario:
    """Return the mission with its main ship launched on a day, the others as far from it as before.

    ScenarioError where a ship would leave the ephemeris.
    """
    gap = day - scenario.dates.launch_day
    names = ("", *scenario.views)
    days = {x: of_ship(scenario, x).dates.launch_day + gap for x in names}
    return scenario.change({key(x, "dates.launch_day"): days[x] for x in names})


def unfixed(scenario: Scenario) -> Scenario:
    """Return the mission without fixed clock times of launches."""
    names = [x for x in scenario.views if "launch_time" in scenario.ships[x].dates]
    fixed = [*([""] if scenario.dates.launch_time is not None else []), *names]
    return scenario.change({key(x, "dates.launch_time"): None for x in fixed})


def placed(scenario: Scenario) -> Scenario:
    """Return the mission with every other ship launched as near to its azimuth as leads there.

    The ships are those that the Moon dates, apart from the `leader`. One that has no launch on its
    day stays as it is: its flight says why. No clock time that the file states stays fixed.
    """
    scenario = unfixed(scenario)
    for name in _dated_apart(scenario):
        view = scenario.views[name]
        try:
            walk.fly(view)
        except Unflyable:
            scenario = scenario.change(_nearest(view, name))
    return scenario


def at_clock(scenario: Scenario, moment: datetime, side: str) -> Scenario:
    """Return the mission with the `leader` launched at a clock time (UTC) of its day, on a side.

    The other ships that the Moon dates share the main ship's dates where they state none: each gets
    the clock time and side it has, so that it goes when it went.
    """
    ship = leader(scenario)
    changes: dict[str, Any] = {key(ship, "dates.launch_time"): moment.time()}
    changes[key(ship, "dates.side")] = side
    for name in _dated_apart(scenario):
        view = scenario.views[name]
        if view.dates.launch_time is None:
            goes = utc_from_tdb(walk.fly(view).end.lift_off).replace(microsecond=0)
            changes[key(name, "dates.launch_time")] = goes.time()
            changes[key(name, "dates.side")] = view.dates.side
    return scenario.change(changes)


def _dated_apart(scenario: Scenario) -> list[str]:
    """Return the other ships that the Moon dates, each by itself."""
    views, decides = scenario.views, leader(scenario)
    return [x for x in views if x != decides and not has_burn(views[x].events, MEETING)]


def _nearest(view: Scenario, name: str) -> dict[str, Any]:
    """Return what is to change for a ship's launch, nothing where its day has none."""
    plane, found = launch.planned_plane(view), list(_moments(view, intervals(view)))
    if not found:
        return {}
    each, moment = min(found, key=lambda x: abs(x[0].nearest(plane)[0].azimuth - plane))
    return {key(name, "dates.launch_time"): moment.time(), key(name, "dates.side"): each.side}


def _moments(view: Scenario, found: tuple[Interval, ...]) -> Iterator[tuple[Interval, datetime]]:
    for each in found:
        moment = nearest_moment(view, each)
        if moment is not None:
            yield each, moment


def intervals(view: Scenario) -> tuple[Interval, ...]:
    """Return when a ship's launch day is open, its plane at the Moon being that of its events."""
    climb = walk.climb(view)
    orbit = launch.parking(view, climb.duration, climb.angle, launch.planned_plane(view))
    return launch.open_intervals(view, orbit, translunar.passage(view, (*view.events, *view.then)))


def nearest_moment(view: Scenario, interval: Interval) -> datetime | None:
    """Return the lift-off in an interval along the azimuth nearest to the planned one (UTC).

    None where that is on another day.
    """
    near, _ = interval.nearest(launch.planned_plane(view))
    opens, closes = (utc_from_tdb(x.lift_off) for x in (interval.opens, interval.closes))
    inside = min(INSIDE, (closes - opens) / 4)
    moment = utc_from_tdb(near.lift_off)
    moment = max(opens + inside, min(closes - inside, moment)).replace(microsecond=0)
    return moment if moment.date() == view.dates.launch_day else None
