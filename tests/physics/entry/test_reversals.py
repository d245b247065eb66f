"""Bank reversals: the side lift that steers, and the place that is met."""

from __future__ import annotations

from math import cos, inf, sin

import pytest

from mplan.physics import constants as c
from mplan.physics.entry import homing, reversals
from mplan.physics.entry.bank import NEAR, aim_entry
from mplan.physics.entry.entry_flight import EntrySteering, EntryVehicle, Six, fly_entry

LIMIT = 10.0 * c.G0
LIGHT = EntryVehicle(380.0, 0.28)
DROGUES = 7200.0


def interface(angle: float, azimuth: float = 60.0) -> Six:
    """Return a state over the equator at 11.02 km/s, on an azimuth, at `angle` [deg]."""
    a, heading = angle * c.DEG, azimuth * c.DEG
    up, level = 11020.0 * sin(a), 11020.0 * cos(a)
    return (c.R_EARTH + c.ENTRY_INTERFACE, 0.0, 0.0, up, level * sin(heading), level * cos(heading))


@pytest.mark.parametrize("azimuth", [20.0, 60.0, 110.0, 250.0])
@pytest.mark.parametrize(("angle", "wanted"), [(-6.8, 1.7e6), (-6.4, 2.4e6), (-5.8, 2.8e6)])
def test_the_place_is_met(azimuth, angle, wanted):
    """Within 3 km, where a bank held to one side ends more than 100 km away.

    Flown returns splashed within some 5 km of their targets (from memory of the mission reports),
    winds and navigation and all; the narrowest deadband here is 0.8 km.
    """
    start = interface(angle, azimuth)
    straight = aim_entry(start, LIGHT, DROGUES, wanted, LIMIT)
    flown = reversals.steer_sideways(straight, start, LIGHT, DROGUES)
    assert reversals.miss(flown, straight) < 3e3
    assert flown.range == pytest.approx(straight.range, abs=NEAR)
    assert flown.peak.load == pytest.approx(straight.peak.load, rel=0.03)
    assert 1 <= len(flown.reversals) <= 9
    held = reversals.towards(straight, inf)
    aside = fly_entry(start, LIGHT, flown.steering, DROGUES, homing=held)
    assert not aside.reversals
    assert reversals.miss(aside, straight) > 100e3


def test_side_lift_turns_the_path_to_its_side():
    """Eastwards along the equator, right is south, and mirrored left is north."""
    start = interface(-6.4, 90.0)

    ends = [
        fly_entry(
            start,
            LIGHT,
            EntrySteering(0.2),
            DROGUES,
            homing=homing.TowardsTarget((0.0, 0.0, -side), inf),
        )
        .rows[-1]
        .state
        for side in (1.0, -1.0)
    ]
    assert ends[0][2] < -50e3
    assert ends[1][2] == pytest.approx(-ends[0][2], rel=1e-9)
    assert ends[1][:2] == pytest.approx(ends[0][:2], rel=1e-9)


def test_nothing_to_steer_with():
    """Without lift, and with all of it up, nothing is changed."""
    start = interface(-6.4)
    bare = EntryVehicle(380.0, 0.0)
    for vehicle, up in ((bare, 0.3), (LIGHT, 1.0)):
        flown = fly_entry(start, vehicle, EntrySteering(up, pull_out=False), DROGUES)
        assert reversals.steer_sideways(flown, start, vehicle, DROGUES) is flown


def test_the_deadband_narrows():
    """With the square of the speed, to 0.8 km at rest."""
    assert homing.deadband(homing.CIRCULAR, homing.WIDE) == pytest.approx(0.01262)
    assert homing.deadband(0.0, homing.WIDE) * c.R_EARTH == pytest.approx(765.0, abs=1.0)
