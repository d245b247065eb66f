"""Day, clock time and azimuth of the launch, as far as the planner has fixed them."""

from __future__ import annotations

from datetime import datetime, time, timezone
from math import radians

from mplan.physics import constants as c
from mplan.physics.arcs import launch_time
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies.time import tdb_from_utc
from mplan.scenario import Scenario
from mplan.scenario.stated import stated

USUAL_CLIMB = 600.0  # s, for the azimuth's first guess
USUAL_DOWNRANGE = radians(19.0)  # at Earth's centre, for the same


def midnight(scenario: Scenario) -> float:
    """Return the beginning of the launch day [TDB s]."""
    return _at(scenario, time())


def lift_off(scenario: Scenario) -> float | None:
    """Return the lift-off [TDB s] if its clock time is fixed, else None."""
    clock = scenario.dates.launch_time
    return None if clock is None else _at(scenario, clock)


def _at(scenario: Scenario, clock: time) -> float:
    return tdb_from_utc(datetime.combine(scenario.dates.launch_day, clock, timezone.utc))


def parking(scenario: Scenario, climb: float, downrange: float, azimuth: float) -> Parking:
    """Return the parking orbit that a `climb` [s] along an `azimuth` [rad] leads to.

    `downrange` [rad] lies between lift-off and insertion, at Earth's centre.
    """
    place = scenario.launch_site
    site = Site(place.latitude, place.longitude, azimuth, climb=climb, downrange=downrange)
    return Parking(site, c.R_EARTH + scenario.orbits.parking_altitude, midnight(scenario))


def translunar_time(scenario: Scenario) -> float:
    """Return the planned time [s] from the injection to perilune."""
    return stated(scenario.dates.translunar_time, "dates.translunar_time")


def azimuth(scenario: Scenario) -> float:
    """Return the azimuth [rad] to climb along.

    The planned one, or for a fixed clock time that of the plane through site and Moon, which
    the integrated arc moves by a fraction of a degree.
    """
    planned, moment = scenario.launch_site.azimuth, lift_off(scenario)
    if moment is None:
        return planned
    orbit = parking(scenario, USUAL_CLIMB, USUAL_DOWNRANGE, planned)
    return launch_time.eastward(orbit, moment, translunar_time(scenario))[0]
