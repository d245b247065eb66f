"""Days on which a landing can be lit."""

from datetime import timedelta

import mplan
from mplan.checks.light import sun_at_landing
from mplan.studies.days import lit_days
from mplan.studies.launches.launch_days import moved


def test_a_landing_in_limits_is_among_the_lit_days(landing_plan):
    """The days flown fit or not as the Sun at touchdown says; none that fits is left out."""
    first = landing_plan.scenario.dates.launch_day
    found = lit_days(landing_plan.flight, [first + timedelta(days=i) for i in range(30)])
    assert 2 <= len(found) <= 10  # of a lunation, at dawn and at dusk
    place = landing_plan.scenario.site
    for i in (0, 3):
        flight = mplan.fly(moved(landing_plan.scenario, first + timedelta(days=i))).flight
        if place.sun_min <= sun_at_landing(flight) <= place.sun_max:
            assert first + timedelta(days=i) in found


def test_a_mission_that_does_not_land_keeps_all_days(flyby_plan):
    days = [flyby_plan.scenario.dates.launch_day + timedelta(days=i) for i in range(5)]
    assert lit_days(flyby_plan.flight, days) == days
