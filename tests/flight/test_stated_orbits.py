"""Lunar orbits of stated inclination and apsides, and captures in several revolutions."""

from __future__ import annotations

import io
import re
from math import pi

import numpy as np
import pytest

import mplan
from mplan import ScenarioError
from mplan.checks import lunar_orbit
from mplan.contract import document
from mplan.flight import sequence
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import (
    LunarOrbit,
    coast,
    lunar_apsides,
    places_ahead,
    radius_by_shadow,
    to_perilune,
)
from mplan.physics.arcs.nbody import fly_arc
from mplan.physics.bodies import ephemeris
from mplan.physics.twobody import kepler, speed
from mplan.scenario.profiles import as_toml
from mplan.show import lunar_orbits
from mplan.show.terminal import print_brief
from mplan.show.translunar.tables import facts
from mplan.studies import captures
from mplan.vehicle.living.energy import sunlit

INTO = ("lunar-orbit insertion", "lunar-orbit apolune change", "lunar-orbit circularisation")
POLAR_IN_STEPS = {
    "orbits.lunar_inclination": "90 deg",
    "orbits.capture_apolune": "5000 km",
    "orbits.capture_revolutions": 3,
}
HIGH = {"orbits.lunar_apolune": "6000 km", "orbits.capture_apolune": "9000 km"}


@pytest.fixture(scope="module")
def orbiter():
    """The mission to a circle at 110 km."""
    return mplan.load("tests/missions/orbit_and_return.toml")


@pytest.fixture(scope="module")
def in_steps(orbiter):
    """A polar circle, by way of three ellipses."""
    return mplan.fly(orbiter.change(POLAR_IN_STEPS)).flight


@pytest.fixture(scope="module")
def high(orbiter):
    """110 by 6000 km, by way of 9000 km."""
    return mplan.fly(orbiter.change(HIGH)).flight


@pytest.fixture(scope="module")
def southern(orbiter):
    """A near-polar ellipse with its perilune furthest south."""
    stated = {
        "orbits.lunar_altitude": "40 km",
        "orbits.lunar_apolune": "200 km",
        "orbits.lunar_inclination": "86 deg",
        "orbits.lunar_argument_of_perilune": "270 deg",
    }
    return mplan.fly(orbiter.change(stated)).flight


def after(flight, leg):
    """The orbit right after each burn of a leg: the impulse, and half the burn flown on."""
    return [x.after.orbit for x in flight.passages if x.burn and x.burn.leg == leg]


def into(flight):
    return [x for x in flight.burns if x.leg in INTO]


def test_the_way_to_the_moon_is_aimed_for_the_inclination(in_steps):
    """To 0.01 deg, of which the aim's metre and the burn's minutes take next to nothing."""
    (first,) = after(in_steps, INTO[0])
    assert first.inclination / c.DEG == pytest.approx(90.0, abs=0.01)


def test_it_passes_in_the_north(in_steps, southern):
    """The perilune of the arrival has a northern latitude: an argument under 180 deg."""
    for flight in (in_steps, southern):
        assert 0.0 < lunar_apsides(after(flight, INTO[0])[0]).argument < pi


def test_apolune_is_lowered_in_burns_of_like_duration(in_steps):
    """To 2 %: the perilune, 2 km higher for Earth's pull, is not foreseen."""
    insertion, *lowering = into(in_steps)
    assert [x.leg for x in lowering] == [INTO[1], INTO[1], INTO[2]]
    assert [x.name for x in lowering][:2] == ["apolune change 1", "apolune change 2"]
    lasts = [x.duration for x in lowering]
    assert max(lasts) / min(lasts) == pytest.approx(1.0, abs=0.02)
    assert insertion.duration > max(lasts)


def test_the_burns_are_revolutions_apart(in_steps):
    """Each comes a period of the ellipse before it later: to 1 % for Earth's pull far out."""
    burns = into(in_steps)
    orbits = [*after(in_steps, INTO[0]), *after(in_steps, INTO[1])]
    for one, two, orbit in zip(burns, burns[1:], orbits, strict=False):
        apart = two.elapsed + two.duration / 2.0 - one.elapsed - one.duration / 2.0
        assert apart == pytest.approx(orbit.period, rel=0.01)


def test_three_revolutions_lose_less_than_one(in_steps, orbiter):
    """The same speed is taken off in shorter burns; the impulses add up alike to 1 m/s."""
    straight = {"orbits.lunar_inclination": "90 deg", "orbits.capture_apolune": "110 km"}
    once = into(mplan.fly(orbiter.change(straight)).flight)
    steps = into(in_steps)
    assert sum(x.impulse for x in steps) == pytest.approx(sum(x.impulse for x in once), abs=1.0)
    lost = [sum(x.losses["finite burn"] for x in each if x.lit) for each in (steps, once)]
    assert lost[0] < 0.5 * lost[1]


def test_apsides_as_stated(high):
    """Right after the last burn into it, to 1 km: the half of the burn is flown on."""
    (last,) = after(high, INTO[1])
    assert (lunar_apsides(last).apolune - c.R_MOON) / 1e3 == pytest.approx(6000.0, abs=1.0)
    (first,) = after(high, INTO[0])
    assert (lunar_apsides(first).apolune - c.R_MOON) / 1e3 == pytest.approx(9000.0, abs=1.0)
    assert (lunar_apsides(first).perilune - c.R_MOON) / 1e3 == pytest.approx(110.0, abs=0.1)


def test_home_from_an_ellipse(high):
    """The burn beats those a twelfth of a revolution off, and its arc meets the angle planned."""
    home = high.end.homeward
    assert home.flight_path_angle == pytest.approx(high.scenario.orbits.entry_angle, abs=1e-4)
    leaving = float(np.linalg.norm(home.leaving.r)) - c.R_MOON
    assert leaving < 1000e3  # near perilune, where a burn along the velocity does most
    slow = speed(c.R_MOON + leaving, home.leaving.a, c.MU_MOON)
    fast = float(np.linalg.norm(home.leaving.v + home.burn))
    assert home.delta_v > fast - slow


def test_the_argument_of_perilune_is_reached_from_a_circle(southern):
    """To 0.3 deg: the circle that the field has drawn out by 1 km leans the ellipse by so much."""
    (last,) = after(southern, INTO[1])
    found = lunar_apsides(last)
    assert found.argument / c.DEG == pytest.approx(270.0, abs=0.3)
    assert (found.perilune - c.R_MOON) / 1e3 == pytest.approx(40.0, abs=1.0)
    assert (found.apolune - c.R_MOON) / 1e3 == pytest.approx(200.0, abs=0.5)


def test_events_can_be_written_out_and_edited(in_steps, orbiter):
    """A burn of those that the profile writes may be given an apolune of its own."""
    events = in_steps.scenario.events_as_written()
    assert 'name = "apolune change 2"' in as_toml(events)
    next(x for x in events if x.get("name") == "apolune change 2")["apolune"] = "500 km"
    edited = orbiter.change({**POLAR_IN_STEPS, "events": events})
    second = after(mplan.fly(edited).flight, INTO[1])[1]
    assert (lunar_apsides(second).apolune - c.R_MOON) / 1e3 == pytest.approx(500.0, abs=1.0)


@pytest.mark.parametrize(
    ("stated", "told"),
    [
        (
            {"orbits.lunar_inclination": "20 deg", "orbits.approach": "retrograde"},
            r"found .20 deg.; accepted with orbits\.approach = .retrograde.: 90 deg to 180",
        ),
        (
            {"orbits.lunar_inclination": "120 deg", "orbits.approach": "prograde"},
            r"accepted with orbits\.approach = .prograde.: 0 deg to 90 deg",
        ),
        ({"orbits.lunar_argument_of_perilune": "90 deg"}, "a circle has no argument of perilune"),
        ({"orbits.lunar_apolune": "90 km"}, r"accepted: at least orbits\.lunar_altitude"),
        ({"orbits.lunar_apolune": "400 km"}, r"capture_apolune.*at least orbits\.lunar_apolune"),
        ({"orbits.lunar_apolune": "40000 km"}, r"30000 km"),
        (
            {"orbits.capture_apolune": None, "orbits.capture_revolutions": 2},
            "capture_apolune: missing, as orbits.capture_revolutions = 2 lowers it",
        ),
        (
            {"orbits.lunar_inclination": "90 deg", "orbits.capture_plane_change": "3 deg"},
            "capture_plane_change: leave it out",
        ),
    ],
)
def test_what_contradicts_is_refused(orbiter, stated, told):
    with pytest.raises(ScenarioError, match=told):
        orbiter.change(stated)


def test_a_landing_says_what_goes_with_it(reference_landing):
    """It begins in a circle, in a plane that the site decides."""
    with pytest.raises(ScenarioError, match=r"begins in a circle, of orbits\.lunar_altitude"):
        reference_landing.change("orbits.lunar_apolune", "900 km")
    with pytest.raises(ScenarioError, match=r"the plane, or orbits\.approach_azimuth"):
        reference_landing.change("orbits.lunar_inclination", "90 deg")


def test_an_inclination_below_the_arrivals_is_refused(orbiter):
    """With what is accepted; that itself is then flown."""
    orbiter = orbiter.change("dates.launch_day", "2030-10-10")
    with pytest.raises(ScenarioError, match=r"found 0\.5 deg, .* accepted: [\d.]+ deg to") as told:
        mplan.fly(orbiter.change("orbits.lunar_inclination", "0.5 deg"))
    least = float(str(told.value).split("accepted: ")[1].split(" deg")[0])
    flown = mplan.fly(orbiter.change("orbits.lunar_inclination", f"{least} deg")).flight
    assert after(flown, INTO[0])[0].inclination / c.DEG == pytest.approx(least, abs=0.06)


def without(scenario, leg, count=1):
    """Return a scenario that has lost the last `count` events of a leg."""
    places = [i for i, x in enumerate(scenario.events) if getattr(x, "leg", None) == leg][-count:]
    left = [x for i, x in enumerate(scenario.events) if i not in places]
    return scenario.model_copy(update={"events": tuple(left)})


def test_events_that_do_not_lead_there_are_faults(in_steps, high):
    """Revolutions miscounted, the last burn left out, and an apolune change out of lunar orbit."""
    (miscounted,) = sequence.faults(without(in_steps.scenario, INTO[1]))
    assert "found 3, but the events have 2 burns" in miscounted.text
    (stays,) = sequence.faults(without(high.scenario, INTO[1]))
    assert stays.text == f"no event leads to it: missing a {INTO[1]}"
    events = high.scenario.events
    change = next(x for x in events if getattr(x, "leg", None) == INTO[1])
    late = high.scenario.model_copy(update={"events": (*events[:-1], change, events[-1])})
    assert [x.text for x in sequence.faults(late)] == [f"{INTO[1]} outside lunar orbit"]


def test_places_of_an_ellipse_are_keplers(high):
    """Against the universal-variable solution, which shares nothing with them: to a metre."""
    orbit = high.end.homeward.leaving
    found = places_ahead(orbit, 12)
    for wait, r, v in zip(*found, strict=True):
        there, pace = kepler(orbit.r, orbit.v, float(wait), c.MU_MOON)
        assert np.linalg.norm(there - r) < 1.0
        assert np.linalg.norm(pace - v) < 1e-3
    assert found.waits[-1] == pytest.approx(orbit.period)


def test_perilune_is_found_where_earth_moves_it():
    """Far out it comes minutes off what a conic says, and the flown distance is least there."""
    t = 1e9
    r, v = np.array([c.R_MOON + 200e3, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
    a = (2.0 * c.R_MOON + 200e3 + 25000e3) / 2.0
    orbit = LunarOrbit(t, r, speed(float(r[0]), a, c.MU_MOON) * v)
    orbit = coast(orbit, orbit.period / 10.0)
    wait = to_perilune(orbit)
    assert 60.0 < abs(wait - 0.9 * orbit.period) < 0.2 * orbit.period
    luna = ephemeris.moon(orbit.t)

    def distance(later):
        end = fly_arc(orbit.r + luna.r, orbit.v + luna.v, orbit.t, wait + later)
        return float(np.linalg.norm(end.lunar_r))

    assert distance(0.0) < min(distance(-30.0), distance(30.0))


def test_what_the_orbit_became_is_told(high):
    """After each burn into it and at departure: between the two Earth's pull moves the perilune."""
    found = high.lunar_orbits
    assert [x.event for x in found] == [INTO[0], INTO[1], "departure"]
    assert [x.shaped for x in found] == [True, True, False]
    reached, left = found[1].apsides, found[2].apsides
    assert reached == lunar_apsides(after(high, INTO[1])[0])
    assert left == lunar_apsides(high.end.homeward.leaving)
    assert found[2].elapsed - found[1].elapsed > high.scenario.mission.lunar_orbit_stay
    assert abs(left.perilune - reached.perilune) > 5e3


def test_a_ship_that_has_landed_has_left_its_orbit():
    """A cargo ship tells the orbits it made and none to the end; one that stays up tells that."""
    down, waits = (
        mplan.fly(mplan.load(f"scenarios/{name}.toml")).flight.lunar_orbits
        for name in ("cargo_down", "lander_ahead")
    )
    assert all(x.shaped for x in down)
    assert waits[-1].event == "end of the flight"


def test_the_brief_tells_it(high):
    """In one line, the argument of perilune with an ellipse alone."""
    plan = mplan.Plan(high, ())
    told = lunar_orbits.line(plan)
    assert re.fullmatch(
        r"lunar orbit [\d.]+ by 6,000\.\d km, inclined 1\d\d\.\d deg, perilune at \d+ deg; "
        r"at departure [\d.]+ by 6,0\d\d\.\d km, 1\d\d\.\d deg, perilune at \d+ deg",
        told,
    )


def test_the_document_has_them(high):
    rows = document(mplan.Plan(high, ()))["lunar_orbits"]
    assert [x["event"] for x in rows] == [INTO[0], INTO[1], "departure"]
    assert rows[1]["apolune_km"] == pytest.approx(6000.0, abs=1.0)


def test_an_apsis_that_earth_moved_on_the_way_is_told(high, in_steps):
    """By way of 9000 km perilune has moved by more than 5 km; of the circle it has not."""
    assert [x.limit for x in not_as_stated(high)] == ["110 km"]
    assert not_as_stated(in_steps) == []


def not_as_stated(flight):
    return [x for x in lunar_orbit.findings(flight) if "are stated" in x.text]


def test_the_longest_shadow_of_an_ellipse_is_across_its_apolune():
    """Against the share of even steps of time that lie behind the Moon, the Sun at perilune."""
    t, low, high = 1e9, c.R_MOON + 110e3, c.R_MOON + 6000e3
    pace = speed(low, (low + high) / 2.0, c.MU_MOON)
    orbit = LunarOrbit(t, np.array([low, 0.0, 0.0]), np.array([0.0, pace, 0.0]))
    r = [kepler(orbit.r, orbit.v, x, c.MU_MOON)[0] for x in np.linspace(0.0, orbit.period, 4000)]
    dark = np.mean([x[0] < 0.0 and abs(x[1]) < c.R_MOON for x in r])
    assert 1.0 - sunlit(radius_by_shadow(orbit)) == pytest.approx(dark, abs=1e-3)
    assert dark > 2.0 * (1.0 - sunlit(orbit.a))


@pytest.fixture(scope="module", params=["polar_orbit", "high_ellipse", "frozen_orbit"])
def demo(request):
    """A demo that is laid over the mission to a circle."""
    return mplan.fly(mplan.load(f"scenarios/{request.param}.toml"))


def test_the_demos_close(demo):
    """Nothing is left to decide, and the brief has their orbit and every burn into it."""
    assert demo.closes
    assert demo.decisions_open == 0
    page = io.StringIO()
    print_brief(demo, page)
    told = page.getvalue()
    assert "lunar orbit" in told
    assert all(burn.name in told for burn in into(demo.flight))
    assert 10 <= len(demo.scenario.source.read_text("utf-8").splitlines()) <= 40


def test_their_orbits_are_those_stated(demo):
    """Inclination and argument to half a degree, apsides to 15 km where the way in takes days."""
    reached = [x for x in demo.flight.lunar_orbits if x.shaped][-1].apsides
    orbits = demo.scenario.orbits
    high = orbits.lunar_altitude if orbits.lunar_apolune is None else orbits.lunar_apolune
    assert reached.perilune - c.R_MOON == pytest.approx(orbits.lunar_altitude, abs=15e3)
    assert reached.apolune - c.R_MOON == pytest.approx(high, abs=15e3)
    for wanted, found in (
        (orbits.lunar_inclination, reached.inclination),
        (orbits.lunar_argument_of_perilune, reached.argument),
    ):
        assert wanted is None or found == pytest.approx(wanted, abs=0.5 * c.DEG)


def test_the_ways_in_are_told_of_the_orbit_stated(in_steps, high):
    """Impulsive, about the Moon alone: within 1 m/s of the burns flown, 3 % of each of them."""
    for flight, place in ((in_steps, 3), (high, 1)):
        flown = [x.impulse for x in into(flight)]
        way = captures.capture_options(mplan.Plan(flight, ()))[place]
        assert way.burns == pytest.approx(flown, rel=0.05)
        assert way.total == pytest.approx(sum(flown), abs=2.0)
    assert captures.capture_options(mplan.Plan(in_steps, ()))[3].name == "3 revolutions"


def test_what_the_capture_costs_has_every_burn_into_it(southern):
    """The change of apolune after the circle, too."""
    total = sum(x.required for x in into(southern))
    assert facts(mplan.Plan(southern, ()))["capture"].startswith(f"{total:,.0f} m/s")


def test_a_ship_is_met_in_a_circle():
    """One that waits in an ellipse is not met: what is said names the key and what would do."""
    scenario = mplan.load("scenarios/crew_follows.toml")
    ellipse = {
        f"ships.lander.orbits.{key}": "900 km" for key in ("lunar_apolune", "capture_apolune")
    }
    with pytest.raises(ScenarioError, match=r"lander\.orbits\.lunar_apolune: found an ellipse of"):
        mplan.fly(scenario.change(ellipse))
