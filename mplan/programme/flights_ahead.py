"""The flights that a calendar rests on, flown one by one, so that people see how far it is."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta

from mplan.programme.launching import duration_of
from mplan.programme.missions import flown
from mplan.programme.programme import Programme
from mplan.scenario.problems import ScenarioError

FlightsDone = Callable[[int, int, str], None]  # how many, of how many, and whose is next


def fly_ahead(programme: Programme, done: FlightsDone) -> None:
    """Fly what a calendar asks for: the durations not stated, and flights under way on their day.

    What was flown before is remembered and comes at once; missions of one scenario count once.
    Raises ScenarioError where a mission's scenario cannot be flown for its duration.
    """
    missions = programme.missions
    lasting = {
        programme.scenarios[key].scenario.hash: key
        for key in reversed(missions)
        if missions[key].duration is None
    }
    under_way = [key for key, each in missions.items() if each.flown]
    keys = [*reversed(lasting.values()), *under_way]
    for count, key in enumerate(keys):
        done(count, len(keys), programme.title(key))
        if count < len(lasting):
            flown(programme.scenarios[key].scenario)
        elif _in_flight(programme, key):
            with suppress(ScenarioError):  # its calendar then has both ends of it and no more
                flown(programme.scenarios[key].scenario, missions[key].launch)
    done(len(keys), len(keys), "calendar")


def _in_flight(programme: Programme, key: str) -> bool:
    """Return whether a flight that has left is still under way today."""
    launch = programme.missions[key].launch
    return launch is not None and programme.today < launch + timedelta(
        seconds=duration_of(programme, key)
    )
