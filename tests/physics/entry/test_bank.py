"""Bank angles that come down where they should."""

from __future__ import annotations

from math import cos, sin

import pytest

from mplan.physics import constants as c
from mplan.physics.entry.bank import KINDS, NEAR, aim_entry, reach_range, within
from mplan.physics.entry.entry_flight import EntrySteering, EntryVehicle, Six, fly_entry

LIMIT = 10.0 * c.G0
LIGHT = EntryVehicle(380.0, 0.28)
DROGUES = 7200.0


def interface(angle: float) -> Six:
    """Return a state over the equator at 11.02 km/s, on 60 deg, at `angle` [deg]."""
    a, heading = angle * c.DEG, 60.0 * c.DEG
    up, level = 11020.0 * sin(a), 11020.0 * cos(a)
    return (c.R_EARTH + c.ENTRY_INTERFACE, 0.0, 0.0, up, level * sin(heading), level * cos(heading))


@pytest.mark.parametrize("wanted", [1.7e6, 2.0e6, 2.4e6, 3.2e6])
def test_the_range_is_met_within_the_limit(wanted):
    """All these ranges lie in reach at -6.4 deg, with the fall caught first."""
    flown = aim_entry(interface(-6.4), LIGHT, DROGUES, wanted, LIMIT)
    assert flown.range == pytest.approx(wanted, abs=NEAR)
    assert flown.peak.load <= LIMIT
    assert flown.steering.pull_out


def test_more_lift_up_goes_further():
    """What the solution rests on: the range rises with the share of lift that points up."""
    ranges = [
        fly_entry(interface(-6.4), LIGHT, EntrySteering(up), DROGUES).range
        for up in (-1.0, -0.4, 0.0, 0.3)
    ]
    assert ranges == sorted(ranges)


def test_a_shallow_entry_is_held_in_by_one_bank_all_the_way():
    """At -5.5 deg pulling out first would skip or crush: the other steering is taken."""
    flown = aim_entry(interface(-5.5), LIGHT, DROGUES, 2.4e6, LIMIT)
    assert flown.range == pytest.approx(2.4e6, abs=NEAR)
    assert not flown.steering.pull_out
    assert flown.peak.load <= LIMIT


def test_out_of_reach_comes_as_near_as_it_may():
    """8000 km is past any path that does not skip; 800 km would take more than the limit.

    5 km: next to a skip a share of 2e-4, where the halving ends, is worth that much.
    """
    ends = [x for kind in KINDS for x in within(interface(-6.4), LIGHT, DROGUES, LIMIT, kind)]
    for wanted, pick in ((8.0e6, max), (0.8e6, min)):
        flown = aim_entry(interface(-6.4), LIGHT, DROGUES, wanted, LIMIT)
        assert flown.range == pytest.approx(pick(x.range for x in ends), abs=5e3)
        assert flown.peak.load <= LIMIT


def test_too_steep_takes_the_least_load():
    """At -9 deg nothing keeps the limit: all lift points up."""
    flown = aim_entry(interface(-9.0), LIGHT, DROGUES, 2.4e6, LIMIT)
    assert flown.peak.load > LIMIT
    assert flown.steering.up == 1.0


def test_too_shallow_skips():
    """At -4.5 deg not even all lift down holds it."""
    assert aim_entry(interface(-4.5), LIGHT, DROGUES, 2.4e6, LIMIT).end == "skip"


def test_a_ballistic_entry_has_one_range():
    """Without lift both ends of what it may try are the same path."""
    flown = reach_range(interface(-6.4), EntryVehicle(380.0, 0.0), DROGUES, 2.4e6, KINDS[1])
    assert flown.range < 1.5e6


def test_a_shallow_entry_is_pulled_down_first():
    """At -5.2 deg one bank all the way takes 16 g to come down at 2600 km; lift down first, 9."""
    start = interface(-5.2)
    assert reach_range(start, LIGHT, DROGUES, 2.6e6, KINDS[1]).peak.load > 15.0 * c.G0
    flown = aim_entry(start, LIGHT, DROGUES, 2.6e6, LIMIT)
    assert flown.steering.first == -1.0
    assert flown.range == pytest.approx(2.6e6, abs=NEAR)
    assert flown.peak.load <= LIMIT
