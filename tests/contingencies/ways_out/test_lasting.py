"""What is left at the end of a way out: the flight's own books, carried on to another end."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks import supplies
from mplan.contingencies.ways_out.lasting import Aboard, still_there
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics.constants import DAY, HOUR
from mplan.physics.living import chemistry
from mplan.vehicle.living.life_support import VITAL

CABIN = "crew_module"


@pytest.fixture(scope="module")
def flight(landing_plan):
    return landing_plan.flight


def as_flown(flight, elapsed: float) -> list[Aboard]:
    """Who is where from a time on to the end, event by event."""
    later = [x for x in flight.passages if x.after.elapsed > elapsed]
    return [Aboard(x.after.elapsed, x.before.crew, x.before.craft) for x in later]


def least(flight) -> tuple[float, str]:
    """The supply of the cabin that the flight as planned leaves the fewest days of."""
    kept = (x for x in supplies.used(flight) if x.element == CABIN and x.supply in VITAL)
    return min((x.days_left, x.label) for x in kept if x.days_left is not None)


def test_the_plan_itself_is_a_way_out(flight):
    """Called off where the crew is together again and flown as planned: what the plan leaves.

    To a hundredth of a gram of what runs out first, from any event on, and in the middle of it.
    """
    days, supply = least(flight)
    together = [x for x in flight.passages if x.before.homeward is not None]
    assert len(together) > 3
    for passage in together:
        begin, end = passage.before.elapsed, passage.after.elapsed
        for elapsed in (begin, 0.6 * begin + 0.4 * end):
            if elapsed < end:
                point = CabinPoint(flight, CABIN, elapsed)
                left = still_there(point, flight.duration, None, as_flown(flight, elapsed))
                assert left.supply == supply
                assert left.days == pytest.approx(days, abs=1e-6)


def test_a_later_home_takes_what_people_take(flight):
    """A day more is a day less of what runs out first."""
    point = CabinPoint(flight, CABIN, 20.0 * HOUR)
    soon = still_there(point, 90.0 * HOUR)
    late = still_there(point, 114.0 * HOUR)
    assert soon.supply == late.supply
    assert soon.days - late.days == pytest.approx(1.0, abs=1e-9)
    assert soon.energy > late.energy


def test_half_the_power_is_half_of_what_is_stored_then(flight):
    """It leaves half of it, less what is drawn on the way as without the failure."""
    point = CabinPoint(flight, CABIN, 100.0 * HOUR)
    home = 150.0 * HOUR
    whole, half = (still_there(point, home, x) for x in (None, "half the power lost"))
    now = still_there(point, point.elapsed)
    assert whole.energy - half.energy == pytest.approx(now.energy / 2.0, abs=1e-9)
    assert 0.0 < half.energy < 1.0


def test_loads_that_are_switched_off_save_their_share(reference_landing, landing_plan):
    """At 60 % of the load, 40 % of what half the power would else feed is still there."""
    left = []
    for share in ("100 %", "60 %"):
        scenario = reference_landing.change("aborts.emergency_load", share)
        flight = mplan.fly(scenario, like=landing_plan).flight
        point = CabinPoint(flight, CABIN, 100.0 * HOUR)
        left += [still_there(point, t * HOUR, "half the power lost").energy for t in (100.0, 120.0)]
    assert left[0] == left[2]  # nothing is saved at once
    assert left[2] - left[3] == pytest.approx(0.6 * (left[0] - left[1]), rel=1e-6)


def test_energy_that_lacks_is_below_zero(flight):
    """A month on half the power."""
    point = CabinPoint(flight, CABIN, 100.0 * HOUR)
    assert still_there(point, 40.0 * DAY, "half the power lost").energy < 0.0
    assert still_there(point, 40.0 * DAY).days < 0.0


def test_suits_leak_where_the_cabin_has_no_air(reference_landing, landing_plan):
    """Oxygen at the most a suit may leak, in place of the cabin's leakage, by the days left."""
    scarce = {
        f"elements.{CABIN}.supplies.oxygen": "26 kg",
        f"elements.{CABIN}.supplies.oxygen_leakage": "4 kg/d",
    }
    plan = mplan.fly(reference_landing.change(scarce), like=landing_plan)
    point = CabinPoint(plan.flight, CABIN, 20.0 * HOUR)
    left = [still_there(point, 44.0 * HOUR, x) for x in (None, "cabin leaks")]
    assert {x.supply for x in left} == {"oxygen"}
    rate = 3.0 * chemistry.OXYGEN + 4.0  # kg/d of a cabin that leaks and is lived in
    gained = 4.0 - 3.0 * 0.3435  # kg in that day, by 180 cm3 a minute and suit
    assert (left[1].days - left[0].days) * rate == pytest.approx(gained, abs=1e-3)


def test_a_cabin_that_was_left_counts(flight):
    """People wait three weeks in the lander and then cross over: its oxygen ran out there."""
    stay = next(x for x in flight.passages if x.event.do == "stay")
    lander = next(x for x, crew in stay.before.crew.items() if crew and x != CABIN)
    elapsed = stay.before.elapsed + HOUR
    point = CabinPoint(flight, lander, elapsed)
    waits = Aboard(elapsed + 21.0 * DAY, stay.before.crew)
    home = Aboard(elapsed + 25.0 * DAY, {CABIN: 3})
    assert still_there(point, home.until, None, [waits, home]).days < -10.0


def test_home_cannot_be_before_the_point(flight):
    """It says so."""
    with pytest.raises(ValueError, match="begins at"):
        still_there(CabinPoint(flight, CABIN, 20.0 * HOUR), 19.0 * HOUR)
