"""The days of a mission: moved to another with all its ships, and those on which the Sun fits.

The Sun is asked before windows are flown over months: it is right for a few days of each lunation.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timezone
from typing import Any

import numpy as np

from mplan.flight.record import Flight
from mplan.physics.bodies import sight
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.constants import DAY, HOUR
from mplan.scenario import Scenario

# How far a landing comes from where another day's flight has it, s: the time of flight and the
# wait in lunar orbit differ; own choice.
SPREAD = 18.0 * HOUR


def on_day(scenario: Scenario, day: date) -> Scenario:
    """Return the mission lifting off on `day`, ships launched on their own as far ahead as before.

    Raises ScenarioError where a day lies outside the ephemeris.
    """
    later = day - scenario.dates.launch_day
    if not later:
        return scenario
    changes: dict[str, Any] = {"dates.launch_day": day}
    for name, ship in scenario.ships.items():
        if "launch_day" in ship.dates:
            changes[f"ships.{name}.dates.launch_day"] = ship.dates["launch_day"] + later
    return scenario.change(changes)


def lit_days(flight: Flight, days: Iterable[date]) -> list[date]:
    """Return the days on which a lift-off at some hour can land with the Sun within its limits.

    `flight` tells how long after lift-off the mission lands; one that does not land keeps all days.
    """
    after = next((x.elapsed for x in flight.moments if x.kind == "land"), None)
    return [day for day in days if after is None or _lit(flight, day, after)]


def _lit(flight: Flight, day: date, after: float) -> bool:
    place = flight.scenario.site
    midnight = tdb_from_utc(datetime.combine(day, time(), timezone.utc)) + after
    hours = np.arange(midnight - SPREAD, midnight + DAY + SPREAD, HOUR)
    suns = (sight.sun_elevation(place.latitude, place.longitude, t) for t in hours)
    return any(place.sun_min <= sun <= place.sun_max for sun in suns)
