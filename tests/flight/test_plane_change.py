"""Turns of the ship's plane in lunar orbit: what they cost, what they leave, what is refused."""

from __future__ import annotations

from math import acos, radians

import pytest
import tomlkit

import mplan
from mplan.physics import constants as c
from mplan.physics.arcs import lunar_orbit
from mplan.physics.bodies import selenography
from mplan.physics.twobody import circular_speed, plane_change, speed
from mplan.scenario.profiles import PLANE_CHANGE
from mplan.show.translunar.tables import facts
from mplan.studies import captures

TURN = {"do": "burn", "leg": PLANE_CHANGE, "element": "service_module"}
LOW = c.R_MOON + 110e3


def inserted(scenario, before, **more):
    """Return the scenario with a plane change before the burn of a leg."""
    events = tomlkit.parse(scenario.events_as_toml()).unwrap()["events"]
    place = next(i for i, event in enumerate(events) if event.get("leg") == before)
    return scenario.change("events", [*events[:place], {**TURN, **more}, *events[place:]])


def burn_of(plan, leg):
    return next(x for x in plan.burns if x.leg == leg)


def off_plane(plan, leg):
    """Return the angle [rad] by which the site lies off the ship's plane at a burn."""
    when, place = plan.flight.end.lift_off + burn_of(plan, leg).elapsed, plan.scenario.landing_site
    leaving = plan.flight.end.homeward.leaving
    there = lunar_orbit.coast(leaving, when - leaving.t)
    return there.angle_off(selenography.site_position(place.latitude, place.longitude, when))


@pytest.fixture(scope="module")
def three_burns(reference_landing):
    """Into lunar orbit over an apolune of 4000 km, where the course turns 8 deg to the north."""
    far = {"orbits.capture_apolune": "4000 km", "orbits.capture_plane_change": "8 deg"}
    return mplan.fly(reference_landing.change({"events": None, **far}))


def test_three_burns_cost_what_the_study_says(three_burns):
    """Each of the three as in the table of ways in: to 0.2 m/s, mostly what the figure does."""
    legs = ("lunar-orbit insertion", PLANE_CHANGE, "lunar-orbit circularisation")
    flown = [burn_of(three_burns, leg).impulse for leg in legs]
    assert flown == pytest.approx(
        captures.capture_options(three_burns, radians(8.0))[2].burns, abs=0.2
    )


def test_far_out_a_turn_is_cheap(three_burns):
    """2 v sin(i / 2) at apolune (Vallado 2013, ch. 6): a third of what it is on the circle."""
    far = c.R_MOON + 4000e3
    slow = speed(far, (LOW + far) / 2.0, c.MU_MOON)
    burn = burn_of(three_burns, PLANE_CHANGE)
    assert burn.impulse == pytest.approx(plane_change(slow, radians(8.0)), rel=1e-3)
    assert burn.impulse < 0.4 * plane_change(circular_speed(LOW, c.MU_MOON), radians(8.0))
    assert burn.note == "the plane turns by 8.00 deg"


def test_the_arrival_takes_the_turn_into_account(three_burns, landing_plan):
    """The ship comes in 8 deg beside the plane over the site, and leaves the turn in it.

    Without that the site would be missed by degrees; the hours to landing are foreseen to some
    minutes, in which the Moon turns 0.1 deg.
    """
    note = burn_of(three_burns, "powered descent").note
    assert float(note.split()[3]) < 0.1  # "the site lies 0.02 deg off ..."
    arrivals = [x.flight.end.outbound.perilune for x in (three_burns, landing_plan)]
    normals = [lunar_orbit.LunarOrbit(x.t, x.lunar_r, x.lunar_v).normal for x in arrivals]
    assert acos(normals[0] @ normals[1]) > radians(3.0)


def test_the_ship_turns_for_the_lift_off(reference_landing, landing_plan):
    """Told no angle, it turns until the site is in its plane when the crew comes up.

    As far as the site had left it, at 2 v sin(i / 2); the lander then needs no turn of its own.
    """
    before = abs(off_plane(landing_plan, "lunar ascent"))
    plan = mplan.fly(inserted(reference_landing, "lunar ascent"))
    turn = burn_of(plan, PLANE_CHANGE)
    pace = circular_speed(LOW, c.MU_MOON)
    assert before > radians(1.0)
    assert turn.impulse == pytest.approx(plane_change(pace, before), rel=0.05)  # half an hour's
    assert abs(off_plane(plan, "lunar ascent")) < radians(0.05)
    saved = burn_of(landing_plan, "lunar ascent").required - burn_of(plan, "lunar ascent").required
    assert saved > 10.0


def test_the_ship_turns_for_the_landing(reference_landing):
    """With such a turn to come, it arrives over the Moon's equator and turns to the site."""
    plan = mplan.fly(inserted(reference_landing, "descent-orbit insertion"))
    assert float(burn_of(plan, "powered descent").note.split()[3]) < 0.1
    assert 0.0 < burn_of(plan, PLANE_CHANGE).impulse < 30.0  # the site is 0.4 deg off the level way


@pytest.mark.parametrize(("turn", "sign"), [("3 deg", -1.0), ("-3 deg", 1.0)])
def test_a_stated_turn(reference_landing, landing_plan, turn, sign):
    """Where the ship crosses the equator northwards, to the north: the inclination changes by it.

    The orbit runs against the Moon's turn, so that a course turned north is inclined less.
    """
    plan = mplan.fly(inserted(reference_landing, "trans-Earth injection", turn=turn))
    inclined = [x.flight.end.homeward.leaving.inclination for x in (plan, landing_plan)]
    assert inclined[0] - inclined[1] == pytest.approx(sign * radians(3.0), abs=radians(0.05))
    pace = circular_speed(LOW, c.MU_MOON)
    cost = burn_of(plan, PLANE_CHANGE)
    assert cost.impulse == pytest.approx(plane_change(pace, radians(3.0)), rel=1e-3)
    assert abs(cost.losses["finite burn"]) < 0.01


@pytest.mark.parametrize(
    ("before", "more", "text"),
    [
        ("trans-Earth injection", {}, r"\.turn: missing: no orbits.capture_plane_change or"),
        ("lunar ascent", {"turn": "120 deg"}, r"turn: found .*, from -90 deg to 90 deg"),
    ],
)
def test_what_is_refused(reference_landing, before, more, text):
    with pytest.raises(mplan.ScenarioError, match=text):
        inserted(reference_landing, before, **more)


def test_other_burns_have_no_turn(reference_landing):
    place = next(
        i
        for i, x in enumerate(reference_landing.events)
        if x.do == "burn" and x.leg == "lunar ascent"
    )
    with pytest.raises(mplan.ScenarioError, match=r"used by the leg .* only"):
        reference_landing.change(f"events.{place}.turn", "3 deg")


@pytest.mark.parametrize(
    ("changes", "text"),
    [
        (
            {"events": None, "orbits.capture_apolune": None},
            "orbits.capture_apolune: missing, as orbits.capture_plane_change turns the plane there",
        ),
    ],
)
def test_a_capture_that_lacks_something(reference_landing, changes, text):
    with pytest.raises(mplan.ScenarioError, match=text):
        reference_landing.change({"orbits.capture_plane_change": "8 deg", **changes})


def test_the_figures_of_the_way_there_count_all_three(three_burns):
    legs = ("lunar-orbit insertion", PLANE_CHANGE, "lunar-orbit circularisation")
    total = sum(burn_of(three_burns, leg).required for leg in legs)
    assert facts(three_burns)["capture"].startswith(f"{total:,.0f} m/s")
