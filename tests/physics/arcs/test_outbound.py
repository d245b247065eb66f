"""The translunar arc: an injection that meets its targets, told again by the other integrator."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import outbound, parking
from mplan.physics.arcs.nbody import back_ends, fly_arc
from mplan.physics.bodies import selenography
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import cross, unit

ALTITUDE, HOURS = 111e3, 72


def through_the_poles(incoming, t):
    return unit(cross(incoming.s, selenography.lunar_pole(t)))


def test_meets_its_targets(date, planned):
    """Altitude to 1 km and time to 1 s by the integrator that did not plan it."""
    _, arc = planned(date)
    end = fly_arc(arc.r, arc.v, arc.injection, 5 * c.DAY, "perilune", back_end=back_ends()[-1])
    assert np.linalg.norm(end.lunar_r) - c.R_MOON == pytest.approx(ALTITUDE, abs=1e3)
    assert end.t - arc.injection == pytest.approx(HOURS * c.HOUR, abs=1.0)
    normal = unit(cross(end.lunar_r, end.lunar_v))
    backwards = -selenography.lunar_pole(end.t)
    wanted = unit(backwards - (backwards @ arc.asymptote.s) * arc.asymptote.s)
    assert np.degrees(np.arccos(min(1.0, normal @ wanted))) < 0.01


def test_starts_from_the_parking_orbit(date, planned):
    orbit, arc = planned(date)
    assert arc.insertion - arc.lift_off == orbit.site.climb
    r, v = orbit.state(arc.lift_off, arc.injection - arc.insertion)
    # An epoch is good to 1e-7 s, 1 mm of flight.
    np.testing.assert_allclose(arc.r, r, atol=5e-3)
    np.testing.assert_allclose(arc.v, v + arc.delta_v * unit(v), atol=5e-6)
    assert orbit.t <= arc.lift_off < orbit.t + 1.5 * c.DAY
    assert 3100.0 < arc.delta_v < 3200.0  # m/s: any 72 h flight from 185 km


@pytest.mark.parametrize("side", ["ascending", "descending"])
def test_both_sides_meet_the_moon(planned, a_date, side):
    """On the ascending leg the Moon is met before a quarter turn, on the descending one after."""
    orbit, _ = planned(a_date)
    arc = outbound.target_outbound(
        orbit,
        revolutions=2,
        time_of_flight=80 * c.HOUR,
        perilune=c.R_MOON + ALTITUDE,
        plane=through_the_poles,
        side=side,
    )
    assert np.linalg.norm(arc.perilune.lunar_r) - c.R_MOON == pytest.approx(ALTITUDE, abs=5.0)
    normal = unit(cross(arc.perilune.lunar_r, arc.perilune.lunar_v))
    assert abs(normal @ selenography.lunar_pole(arc.perilune.t)) < 0.02
    assert 2 <= (arc.injection - arc.insertion) * orbit.rate / (2 * pi) < 3


def test_a_neighbour_starts_from_its_neighbours_unknowns(planned, a_date):
    orbit, arc = planned(a_date)
    again = outbound.target_outbound(
        orbit,
        revolutions=1,
        time_of_flight=73 * c.HOUR,
        perilune=c.R_MOON + ALTITUDE,
        plane=lambda incoming, t: unit(cross(incoming.s, arc.asymptote.b)),
        start=outbound.unknowns_of(arc, orbit),
    )
    assert again.perilune.t - again.injection == pytest.approx(73 * c.HOUR, abs=0.01)
    assert abs(again.delta_v - arc.delta_v) < 30.0


@pytest.mark.parametrize(
    ("hours", "text"),
    [
        (10, r"10\.0 h is too short a flight to the Moon"),
        (210, "none was found that meets its targets"),
    ],
)
def test_no_arc(planned, a_date, hours, text):
    orbit, _ = planned(a_date)
    with pytest.raises(NoArc, match=text):
        outbound.target_outbound(
            orbit,
            revolutions=1,
            time_of_flight=hours * c.HOUR,
            perilune=c.R_MOON + ALTITUDE,
            plane=through_the_poles,
        )


def test_a_plane_far_from_the_moon_is_refused_before_an_arc_is_flown(planned, a_date, monkeypatch):
    """Due east from a pad near the equator, the orbit stays within two degrees of it."""
    orbit, _ = planned(a_date)
    flat = replace(orbit, site=replace(orbit.site, latitude=2.0 * c.DEG, azimuth=pi / 2.0))
    passage = outbound.LunarPassage(1, HOURS * c.HOUR, c.R_MOON + ALTITUDE, through_the_poles)
    for day in range(27):
        there = replace(flat, t=orbit.t + day * c.DAY)
        guess = outbound.guess_outbound(there, 1, passage.time_of_flight, "ascending")
        if outbound.beyond_moon(there, guess, passage) < -3.0 * c.DEG:
            break
    else:
        pytest.fail("the Moon stays near the equator for a month")
    monkeypatch.setattr(outbound, "fly_outbounds", lambda *_: pytest.fail("an arc is flown"))
    with pytest.raises(NoArc, match="stays too far from the Moon"):
        outbound.target_outbound(there, **passage._asdict(), side="ascending")


def test_site_is_part_of_the_answer(planned, a_date):
    """A pad turned by ten degrees of longitude lifts off forty minutes earlier, within ripple."""
    orbit, arc = planned(a_date)
    moved = parking.Parking(
        parking.Site(
            orbit.site.latitude,
            orbit.site.longitude + np.radians(10.0),
            orbit.site.azimuth,
            orbit.site.climb,
            orbit.site.downrange,
        ),
        orbit.radius,
        orbit.t,
    )
    node = moved.node(arc.lift_off) - orbit.node(arc.lift_off)
    assert node == pytest.approx(np.radians(10.0))
