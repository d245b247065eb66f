"""On which launch days the Sun can stand within the landing site's limits at touchdown.

It is asked before windows are flown over months: the Sun is right for a few days of each lunation.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timezone

import numpy as np

from mplan.flight.record import Flight
from mplan.physics.bodies import sight
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.constants import DAY, HOUR

# How far a landing comes from where another day's flight has it, s: the time of flight and the
# wait in lunar orbit differ; own choice.
SPREAD = 18.0 * HOUR


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
