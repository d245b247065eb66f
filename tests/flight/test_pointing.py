"""Directions of thrust and speeds at ignition and cut-off, against what was flown and the sky."""

from __future__ import annotations

from math import degrees

import erfa
import numpy as np
import pytest

import mplan
from mplan.flight import pointing
from mplan.flight.pointing.attitude import towards
from mplan.physics.constants import DAY, MU_MOON

UNIX = 2440587.5  # Julian date of 1970-01-01


def pointed(flight, leg):
    return next(pointing.of(x, flight.end) for x in flight.passages if x.burn and x.burn.leg == leg)


def test_velocities_to_be_gained_are_the_impulses(landing_plan):
    """Of every burn that was found as an impulse, to a centimetre per second.

    Of one between two integrated orbits both are coasted to one time under the Moon's field.
    """
    asked = 0
    for each in landing_plan.flight.passages:
        burn, found = each.burn, pointing.of(each, landing_plan.flight.end)
        gained = [x.gained for x in found if x.gained is not None]
        if gained:
            asked += 1
            assert sum(gained) == pytest.approx(burn.impulse, abs=0.01)
    assert asked >= 6


def test_two_launches_too(two_launches):
    for _, ship, _ in two_launches.ships:
        for each in ship.passages:
            gained = [x.gained for x in pointing.of(each, ship.end) if x.gained is not None]
            if gained:
                assert sum(gained) == pytest.approx(each.burn.impulse, abs=0.5)


def test_along_and_against_the_way(landing_plan):
    """Injection along the horizontal, capture against it, both in the plane; ascent upright."""
    flight = landing_plan.flight
    out = pointed(flight, "translunar injection")[0].directions[0]
    assert (degrees(out.pitch), degrees(out.yaw)) == pytest.approx((0.0, 0.0), abs=0.1)
    into = pointed(flight, "lunar-orbit insertion")[0].directions[0]
    assert abs(degrees(into.pitch)) == pytest.approx(180.0, abs=0.1)
    up = pointed(flight, "lunar ascent")[0].directions
    assert degrees(up[0].pitch) == pytest.approx(90.0, abs=0.01)
    assert abs(degrees(up[1].pitch)) < 30.0
    assert [x.at for x in up] == ["ignition", "cut-off"]


def test_lift_off_points_up_from_the_launch_site(landing_plan):
    """ERFA's celestial-to-terrestrial matrix (IAU 2006/2000A) has geodetic up within 0.02 deg.

    UT1 as UTC, less than a second apart: 0.004 deg; the pole's motion is a ten-thousandth of that.
    """
    flight, site = landing_plan.flight, landing_plan.scenario.launch_site
    there = next(pointing.of(x, flight.end) for x in flight.passages if x.burn)[0].directions[0]
    tt, ut = erfa.DJ00 + flight.end.lift_off / DAY, flight.utc(0.0).timestamp() / DAY + UNIX
    to_earth = erfa.c2t06a(tt, 0.0, ut, 0.0, 0.0, 0.0)
    up = erfa.s2c(site.longitude, site.latitude) @ to_earth
    right, high = erfa.c2s(up)
    assert degrees(erfa.seps(right, high, there.right_ascension, there.declination)) < 0.02


def test_cut_off_velocity_is_that_of_the_orbit_flown(landing_plan):
    """After the insertion, by the conic and by the coast under the Moon's field: 0.5 m/s."""
    flight = landing_plan.flight
    each = next(x for x in flight.passages if x.burn and x.burn.leg == "lunar-orbit insertion")
    found = pointing.of(each, flight.end)[0]
    flown = float(np.linalg.norm(each.after.orbit.v))
    assert each.after.elapsed == pytest.approx(each.burn.elapsed + each.burn.duration)
    assert found.speed_at_cut_off == pytest.approx(flown, abs=0.5)
    r = float(np.linalg.norm(each.after.orbit.r))
    vis_viva = (MU_MOON * (2.0 / r - 1.0 / each.after.orbit.a)) ** 0.5
    assert found.speed_at_cut_off == pytest.approx(vis_viva, abs=0.5)


def test_what_tracking_decides_has_no_direction(landing_plan):
    assert pointed(landing_plan.flight, "outbound correction") == ()


def test_a_rendezvous_is_told_burn_by_burn(landing_plan):
    found = pointed(landing_plan.flight, "rendezvous")
    flown = landing_plan.flight.end.rendezvous.burns
    assert [x.name for x in found] == [x.name for x in flown if x.delta_v > 0.0]
    assert all(x.elapsed is not None for x in found)


@pytest.mark.parametrize(
    ("thrust", "pitch", "yaw"),
    [
        ((0, 1, 0), 0, 0),
        ((1, 0, 0), 90, 0),
        ((0, -1, 0), 180, 0),
        ((0, 1, 1), 0, 45),
        ((-1, 1, 0), -45, 0),
    ],
)
def test_angles_by_hand(thrust, pitch, yaw):
    """At x, moving along y: up is x, ahead y, the orbit's normal z."""
    r, v = np.array([7e6, 0.0, 0.0]), np.array([0.0, 7e3, 0.0])
    found = towards("now", np.array(thrust, dtype=float), r, v, None)
    assert (degrees(found.pitch), degrees(found.yaw)) == pytest.approx((pitch, yaw))
    assert found.right_ascension is None
    sky = towards("now", np.array([0.0, 0.0, 1.0]), r, v, np.eye(3))
    assert degrees(sky.declination) == pytest.approx(90.0)


def test_a_flight_without_a_date_has_no_sky(reference_landing):
    """A climb that fails leaves the date open: attitudes over the horizontal alone."""
    weak = reference_landing.change("elements.transfer_stage.tanks.hydrogen.load", "1 t")
    flight = mplan.fly(weak).flight
    if flight.end.dated:
        pytest.skip("this one reaches its orbit")
    found = [y for x in flight.passages for y in pointing.of(x, flight.end)]
    assert all(d.right_ascension is None for each in found for d in each.directions)
