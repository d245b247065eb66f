"""A launch past its time into the plane of the craft to be met."""

from __future__ import annotations

from dataclasses import replace
from math import asin, cos, pi, radians, sin, tan

import pytest

from mplan.physics import constants as c
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies import earth
from mplan.physics.rendezvous.launch_delay import flown_after
from mplan.physics.rendezvous.launch_passes import Orbiting, launch_passes
from mplan.physics.rendezvous.lead import required_lead
from mplan.physics.rendezvous.relative import angle_between
from mplan.physics.rendezvous.terms import Terms
from mplan.physics.twobody import circular_speed

TERMS, LOW, HIGH, BEGIN = Terms(), c.R_EARTH + 185e3, c.R_EARTH + 260e3, 1.02e9
SITE = Site(radians(-14.4), radians(-39.0), radians(75.0), climb=700.0, downrange=0.4)


@pytest.fixture(scope="module", params=[True, False], ids=["northward", "southward"])
def planned(request):
    target = Orbiting(Parking(SITE, HIGH, BEGIN), BEGIN)
    lead = required_lead(TERMS, LOW, LOW, HIGH, c.MU_EARTH)
    own = Parking(SITE, LOW, BEGIN + 0.9 * c.DAY)
    return next(x for x in launch_passes(own, target, lead) if x.northward == request.param)


def test_on_time_the_planes_are_one(planned):
    assert flown_after(planned, TERMS, 0.0).between_planes < radians(0.001)


@pytest.mark.parametrize("delay", [-900.0, 120.0, 900.0])
def test_late_it_is_off_by_what_the_pad_has_gone_out_of_the_plane(planned, delay):
    """asin of the pad's direction along the normal of the plane aimed for: closed form.

    Earth turns the pad; J2 turns the plane aimed for, by what both nodes go until the ships meet.
    """
    late = flown_after(planned, TERMS, delay)
    i, phi = SITE.inclination, earth.geocentric_latitude(SITE.latitude)
    along = asin(tan(phi) / tan(i))  # from the node to the pad, eastward
    along = along if planned.northward else pi - along
    turned = planned.target.parking.node_rate * (late.launch.begins - planned.begins)
    low, before = (x.chaser.parking.node_rate * x.wait for x in (late.launch, planned))
    off = along + earth.SIDEREAL_RATE * delay - turned + low - before
    out = asin(cos(i) * sin(phi) - sin(i) * cos(phi) * sin(off))
    assert late.between_planes == pytest.approx(abs(out), rel=0.002)


def test_no_other_azimuth_leads_nearer(planned):
    late = flown_after(planned, TERMS, 900.0)
    for more in (-0.002, 0.002):
        site = late.launch.chaser.parking.site
        turned = replace(site, azimuth=site.azimuth + more)
        chaser = replace(
            late.launch.chaser, parking=replace(late.launch.chaser.parking, site=turned)
        )
        there = chaser.at(late.launch.begins)
        assert angle_between(there, late.flown.target) > late.between_planes


def test_the_turn_is_paid_for_where_the_planes_cross(planned):
    """2 v sin(angle / 2), at the speed of the circle: 0.5 %, as the craft climbs meanwhile."""
    late = flown_after(planned, TERMS, 900.0)
    turn = 2.0 * circular_speed(LOW, c.MU_EARTH) * sin(late.between_planes / 2.0)
    assert late.flown.plane == pytest.approx(turn, rel=0.005)
    assert late.delta_v > flown_after(planned, TERMS, 0.0).delta_v + 0.9 * turn


def test_a_later_launch_finds_the_target_further_on(planned):
    """It goes on by its own rate, the pad by Earth's: what is between is caught up from below.

    In the target's plane the pad goes on by the part of Earth's turn along the azimuth: cos(i).
    2 %: the azimuth turns a little too.
    """
    late = flown_after(planned, TERMS, 60.0)
    rate = planned.target.parking.rate - earth.SIDEREAL_RATE * cos(SITE.inclination)
    found = (late.launch.phase - planned.phase + pi) % (2.0 * pi) - pi
    assert found == pytest.approx(rate * 60.0, rel=0.02)
    gains = planned.chaser.parking.rate - planned.target.parking.rate
    assert late.launch.wait - planned.wait == pytest.approx(found / gains, rel=0.02)
