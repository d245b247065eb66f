"""Ships that land whole, and flights that end at the Moon with nobody aboard."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

import mplan
from mplan.flight.sequence import faults
from mplan.physics import constants as c
from mplan.physics.twobody import conic
from mplan.scenario import ScenarioError
from mplan.scenario.profiles import NEEDS

SCENARIOS = Path(__file__).parent.parent.parent / "scenarios"
CREWED = ("whole_ship_down", "home_from_the_ground")
CARGO = ("cargo_down", "lander_ahead")


@cache
def scenario(name: str) -> mplan.Scenario:
    return mplan.load(SCENARIOS / f"{name}.toml")


@cache
def flown(name: str) -> mplan.Plan:
    return mplan.fly(scenario(name))


def after(plan: mplan.Plan, kind: str):
    return next(x for x in plan.flight.passages if x.event.do == kind).after


@pytest.mark.parametrize("name", [*CREWED, *CARGO])
def test_closes(name):
    plan = flown(name)
    assert plan.closes, plan.verdict
    assert {x.check for x in plan.findings if x.rank == 1} <= {"impact"}


def test_a_verdict_says_where_the_mission_ends():
    assert ": home after 8." in flown("whole_ship_down").verdict
    assert ": on the Moon after 3." in flown("cargo_down").verdict
    assert ": in lunar orbit after 3." in flown("lander_ahead").verdict


@pytest.mark.parametrize("name", CREWED)
def test_the_whole_ship_lands(name):
    """At touchdown one craft is left, with the crew in its crew module; no burn meets a ship."""
    plan = flown(name)
    there = after(plan, "land")
    assert there.landed == "descent_stage"
    assert there.craft == (("descent_stage", "return_stage", "crew_module"),)
    assert there.crew == {"crew_module": 2}
    assert plan.flight.burn_of("rendezvous") is None
    assert plan.flight.end.descent.miss < 10.0


@pytest.mark.parametrize("name", CREWED)
def test_lift_off_waits_for_nobody(name):
    """The return stage leaves when the stay is over, into the orbit stated, its own."""
    plan = flown(name)
    stay = next(x for x in plan.flight.passages if x.event.do == "stay")
    burn = plan.flight.burn_of("lunar ascent")
    assert burn.elapsed == pytest.approx(stay.after.elapsed, abs=1.0)
    risen = next(x for x in plan.flight.passages if x.burn is burn).after
    assert risen.landed == ""
    assert risen.lander is None
    orbit = conic(risen.orbit.r, risen.orbit.v, c.MU_MOON)
    assert orbit.periapsis - c.R_MOON == pytest.approx(17e3, abs=50.0)
    # 0.1 m/s at insertion moves the far side by 0.4 km
    assert 2.0 * orbit.a - orbit.periapsis - c.R_MOON == pytest.approx(85e3, abs=400.0)


@pytest.mark.parametrize("name", CREWED)
def test_samples_rise_with_the_crew(name):
    """What is left on the Moon weighs nothing any more; what is brought home is in the cabin."""
    end = flown(name).flight.end
    assert end.cargo["crew_module"] == pytest.approx(40.0)
    burn = flown(name).flight.burn_of("lunar ascent")
    assert burn.at_ignition.craft == (("return_stage", "crew_module"),)


def test_turns_are_drawn_as_a_descent_flies_and_none_on_the_ground():
    """A ship that lands whole turns as a lander does from the descent orbit on, and then rests."""
    flight = flown("whole_ship_down").flight
    assert flight.end.thrusters.has("descent", "turns")
    stay = next(x for x in flight.passages if x.event.do == "stay")
    assert stay.after.thrusters.drawn == stay.before.thrusters.drawn


def test_cargo_flies_without_a_crew():
    """Nobody weighs, eats or escapes, nothing comes home, and the flight is whole all the same."""
    plan = flown("cargo_down")
    assert plan.complete
    assert plan.flight.splash is None
    assert plan.flight.stretches == ()
    assert after(plan, "land").landed == "descent_stage"
    assert plan.flight.end.cargo == {"descent_stage": 14300.0}
    assert not {x.check for x in plan.findings} & {"escape", "supplies", "entry", "recovery"}


def test_a_lander_sent_ahead_waits_in_its_orbit():
    """What is left at the Moon may stay unlit; the ship ends on the circle that was asked for."""
    plan = flown("lander_ahead")
    orbit = conic(plan.flight.end.orbit.r, plan.flight.end.orbit.v, c.MU_MOON)
    assert orbit.a - c.R_MOON == pytest.approx(110e3, abs=2e3)
    assert orbit.e < 2e-3


@pytest.mark.parametrize(
    ("name", "key", "value", "text"),
    [
        ("cargo_down", "mission.crew", 2, "found 2; accepted: 0, as nobody is aboard"),
        ("cargo_down", "mission.landing_crew", 1, "found 1; accepted: 0, as nobody is aboard"),
        ("whole_ship_down", "mission.crew", 0, "found 0; accepted: 1 or more, but on a cargo"),
        ("whole_ship_down", "mission.landing_crew", 3, "accepted: 2, as the whole ship lands"),
        ("whole_ship_down", "mission.crew_mass", None, "mission.crew_mass: missing"),
        ("whole_ship_down", "orbits.entry_angle", None, "orbits.entry_angle: missing"),
        ("cargo_down", "orbits.flyby_altitude", "300 km", "not used by the profile"),
        ("cargo_down", "landing_site", None, "landing_site: missing"),
    ],
)
def test_bad_input(name, key, value, text):
    with pytest.raises(ScenarioError) as caught:
        scenario(name).change(key, value)
    assert text in str(caught.value)
    assert len(caught.value.problems) == 1


@pytest.mark.parametrize("name", [*CREWED, *CARGO])
def test_every_step_that_a_profile_needs_is_missed(name):
    """Each event of a step is taken out in turn: the order of events is then at fault."""
    base = scenario(name)
    needed = NEEDS[base.mission.profile].steps
    events = base.events_as_written()
    for index, event in enumerate(base.events):
        title = {"land": "touchdown on the Moon", "stay": "stay", "enter": "atmospheric entry"}
        step = title.get(event.do) or getattr(event, "leg", None) or event.do
        if step not in needed or step == "climb":
            continue
        left = base.change("events", events[:index] + events[index + 1 :])
        assert faults(left), step
