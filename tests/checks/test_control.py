"""Control through a mission: phases without gaps, handovers, and each finding when it is due."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, sin

import numpy as np
import pytest

import mplan
from mplan.checks import Finding, control
from mplan.checks.phases import phases
from mplan.flight import walk
from mplan.physics.constants import DEG


def found(scenario: mplan.Scenario, **changes: object) -> list[Finding]:
    """Findings on control, on the scenario with changes given as keys with __ for dots."""
    changed = {key.replace("__", "."): value for key, value in changes.items()}
    return list(control.findings(walk.fly(scenario.change(changed))))


def named(flight, name: str) -> control.Phase:
    return next(each for each in phases(flight) if each.name == name)


def by_cause(listed) -> dict:
    return {each.cause: each for each in listed}


def test_the_demos_are_controlled(any_plan):
    """An active guidance element controls each phase with authority enough, hold-down to entry."""
    told = phases(any_plan.flight)
    assert told[0].kind == "hold-down"
    assert told[-1].kind == "enter"
    assert all(phase.controller in phase.craft for phase in told)
    assert all(phase.tightest(axis).share(axis) <= 1.0 for phase in told for axis in control.AXES)
    assert list(control.findings(any_plan.flight)) == []


def test_no_time_is_left_out(landing_plan):
    """One phase follows the other but on the ground and in the pauses of the climb."""
    told = [phase for phase in phases(landing_plan.flight) if not phase.beside]
    gaps = [(x.name, y.name, y.begin - x.end) for x, y in pairwise(told) if y.begin - x.end > 30.0]
    assert [pair[:2] for pair in gaps] == [("powered descent", "lunar ascent")]


def test_masses_are_the_flights(landing_plan):
    """A burn's phase begins and ends with the masses of its record and the moment after it."""
    flight = landing_plan.flight
    for burn in landing_plan.burns:
        assert named(flight, burn.name).mass == burn.mass
    tei = next(x for x in landing_plan.burns if x.leg == "trans-Earth injection")
    phase = named(flight, "trans-Earth injection")
    assert phase.mass_at_end == pytest.approx(tei.mass - tei.propellant)
    track = flight.end.climb.track
    for name in ("first-stage climb", "second-stage climb"):
        for at in named(flight, name).moments:
            if at.when.startswith("greatest"):
                assert at.mass == pytest.approx(np.interp(at.t, track.t, track.mass), rel=1e-6)


def test_the_tower_dropped_in_a_burn_is_gone_at_its_end(landing_plan):
    """What leaves while the second stage burns is in the mass at its beginning alone."""
    phase = named(landing_plan.flight, "second-stage climb")
    burn = next(x for x in landing_plan.burns if x.name == "second-stage climb")
    assert burn.mass - burn.propellant - phase.mass_at_end == pytest.approx(3.6e3 * 1.03)


def test_docking_is_flown_by_what_moves(landing_plan):
    """The ship alone turns round for the lander; the ascent stage alone comes back to it."""
    turned = named(landing_plan.flight, "turn round and dock to the lander")
    assert turned.craft == ("service_module", "crew_module")
    causes = by_cause(turned.moments[0].demands)
    assert {"separation rate", "turn to attitude", "docking"} <= set(causes)
    assert turned.moments[0].push_required == pytest.approx(0.02 * 1.25)
    back = named(landing_plan.flight, "dock ascent stage to crew module")
    assert back.craft == ("ascent_stage",)
    assert "separation rate" not in by_cause(back.moments[0].demands)


def test_the_ship_that_waits(landing_plan):
    """While the lander is away the ship has a phase of its own, from parting to docking."""
    (waits,) = [phase for phase in phases(landing_plan.flight) if phase.beside]
    assert waits.craft == ("service_module", "crew_module")
    assert waits.controller == "service_module"
    docked = next(x for x in landing_plan.timeline if x.event.startswith("dock ascent"))
    assert waits.end == docked.elapsed
    tei = next(x for x in landing_plan.burns if x.leg == "trans-Earth injection")
    two, samples = 2 * 110.0, 60.0  # kg: in the lander meanwhile, and brought home
    settles = tei.settling.propellant  # before that burn
    assert waits.mass == pytest.approx(tei.mass + settles - two - samples, abs=1.0)


def test_guidance_handovers(landing_plan):
    """Control passes from stage to stage, to the ship, to the lander and back."""
    passed = control.handovers(phases(landing_plan.flight))
    assert [to for _, _, to in passed] == [
        "second_stage",
        "transfer_stage",
        "service_module",
        "descent_stage",
        "ascent_stage",
        "service_module",
        "crew_module",
    ]


def test_the_greatest_aerodynamic_moment(landing_plan):
    """Slender-body theory by hand on the stack's nose and shoulders, at the design wind.

    Inertia and centre of mass follow from two other causes: an offset of 2 cm, a gimbal of 5 deg.
    """
    phase = named(landing_plan.flight, "first-stage climb")
    at = next(x for x in phase.moments if x.when == "greatest aerodynamic moment")
    causes, climb = by_cause(at.demands), landing_plan.flight.end.climb
    q, v, thrust, high, flown = (
        float(np.interp(at.t, climb.track.t, getattr(climb.track, name)))
        for name in ("dynamic_pressure", "airspeed", "thrust", "altitude", "angle_of_attack")
    )
    peak = climb.most_dynamic_pressure
    assert q == pytest.approx(peak.value, rel=0.1), "near the greatest dynamic pressure"
    attack = flown + atan2(75.0 * min(1.0, high / peak.altitude), v)
    pitch_inertia = thrust * 0.02 / causes["centre-of-mass offset"].pitch
    centre = at.supplies[0].pitch * pitch_inertia / (thrust * sin(5.0 * DEG))
    sections = (  # upper and lower diameter, foot, length [m]
        (0.0, 1.2, 101.3, 0.0),  # tower
        (1.2, 4.0, 88.9, 3.6),  # crew module
        (4.0, 7.2, 73.6, 8.4),  # adapter
        (7.2, 9.2, 38.2, 19.6),  # second stage
    )
    moment = sum(
        2.0
        * np.pi
        / 4.0
        * (low**2 - up**2)
        * (foot + length * (low + 2 * up) / (low + up) / 3 - centre)
        for up, low, foot, length in sections
    )
    expected = q * attack * moment / pitch_inertia
    found = causes["aerodynamic moment at the design wind"].pitch
    assert found == pytest.approx(expected, rel=2e-3), "lengths are rounded to 5 cm"


def test_wind_and_engine_out_need_more(reference_landing, landing_plan):
    """Twice the tangent of the wind's angle, nearly twice the moment; an engine out adds to it."""
    calm = walk.fly(reference_landing.change("control.design_wind", "0 m/s"))
    key = "aerodynamic moment at the design wind"
    still = max(
        by_cause(x.demands)[key].pitch
        for x in named(calm, "first-stage climb").moments
        if key in by_cause(x.demands)
    )
    phase = named(landing_plan.flight, "first-stage climb")
    blown = [x for x in phase.moments if x.when.startswith("greatest")]
    assert still < 0.2 * by_cause(blown[0].demands)[key].pitch
    assert blown[1].when == "greatest aerodynamic moment, one engine out"
    assert blown[1].required("pitch") > blown[0].required("pitch")
    assert blown[1].available("pitch") == pytest.approx(5.0 / 6.0 * blown[0].available("pitch"))


def test_a_gimbal_that_is_too_small(reference_landing):
    """It stops the flight with both figures; a larger one is the remedy, and it closes."""
    small = reference_landing.change("elements.first_stage.engines.lift.gimbal", "1 deg")
    plan = mplan.fly(small, remedies=True)
    (finding,) = [x for x in plan.findings if x.check == "control"]
    assert finding.severity == "stops the flight"
    assert finding.text == (
        "control authority in pitch and yaw is below the requirement at first-stage climb "
        "(greatest aerodynamic moment, one engine out)"
    )
    at = named(plan.flight, "first-stage climb").tightest("pitch")
    assert finding.limit == f"{at.required('pitch') / DEG:.3f} deg/s2 at least"
    assert finding.found.startswith(f"{at.available('pitch') / DEG:.3f} deg/s2 by gimbal of")
    (remedy,) = finding.remedies
    assert "deg on the lift engine of the first stage, " in remedy.change
    assert "lift-off mass +" in remedy.outcome
    assert remedy.closes
    degrees = float(remedy.change.split()[3])
    less = small.change("elements.first_stage.engines.lift.gimbal", f"{degrees - 0.5} deg")
    assert list(control.findings(walk.fly(less))), "half a degree less would not do"


def test_a_fixed_engine_with_nothing_in_its_place(reference_landing):
    """A gimbal of 0 deg and no thrusters stop the flight, in pitch and in roll."""
    fixed = found(reference_landing, elements__second_stage__engines__main__gimbal="0 deg")
    assert [x.text for x in fixed] == [
        f"nothing controls the craft in {axis} at second-stage climb (ignition)"
        for axis in ("pitch and yaw", "roll")
    ]
    assert {x.severity for x in fixed} == {"stops the flight"}
    assert {x.found for x in fixed} == {"no gimbal, thrusters or movable fins"}


def test_a_gimbal_that_is_not_stated(reference_landing):
    """Control authority is then not worked out, and a decision is asked."""
    (asked,) = found(reference_landing, elements__second_stage__engines__main__gimbal=None)
    assert asked.severity == "needs a decision"
    assert asked.subject == ("second_stage", "main")
    assert "is not stated" in asked.text


def test_no_active_guidance(reference_landing):
    """Without its own, the next element controls; with none aboard, the flight stops."""
    other = walk.fly(reference_landing.change("elements.first_stage.active_guidance", False))
    assert phases(other)[0].controller == "second_stage"
    plan = mplan.fly(
        reference_landing.change("elements.crew_module.active_guidance", False), remedies=True
    )
    (finding,) = [x for x in plan.findings if x.check == "control"]
    last = phases(plan.flight)[-1].name
    assert finding.text == f"no active guidance element controls crew module at {last}"
    (remedy,) = finding.remedies
    assert remedy.change == "active guidance in the crew module, 100 kg"
    assert "lift-off mass +0.10 t" in remedy.outcome
    assert remedy.closes


def test_an_event_may_name_who_controls(reference_landing):
    """`control` of an event overrides the rule."""
    index = next(
        i
        for i, event in enumerate(reference_landing.events)
        if getattr(event, "leg", None) == "lunar-orbit insertion"
    )
    changed = reference_landing.change(f"events.{index}.control", "descent_stage")
    assert named(walk.fly(changed), "lunar-orbit insertion").controller == "descent_stage"


def test_weak_thrusters(reference_landing):
    """Thrusters too weak to turn, and to dock, stop the flight; stronger ones are the remedy."""
    key = "elements.service_module.engines.thrusters.thrust_vacuum"
    plan = mplan.fly(reference_landing.change(key, "20 N"), remedies=True)
    weak = [x for x in plan.findings if x.check == "control"]
    pushes = [x for x in weak if "push too weakly" in x.text]
    turns = [x for x in weak if "control authority in" in x.text]
    assert {x.severity for x in weak} == {"stops the flight"}
    assert pushes[0].limit == "0.025 m/s2 at least"
    assert turns[0].basis.startswith("worst-case sum of the criteria in [control]")
    assert any("on the service module" in x.change for x in pushes[0].remedies)


def test_a_hair_below_is_told_apart(reference_landing, landing_plan):
    """Limit and found differ in print however little they differ."""
    now = named(landing_plan.flight, "atmospheric entry").tightest("roll")
    time = 20.0 * (now.share("roll") * (1.0 - 0.006)) ** 0.5
    (finding,) = found(reference_landing, control__bank_time=f"{time} s")
    assert finding.limit.split()[0] != finding.found.split()[0]


def test_boosters_are_empty_and_gone_at_the_end_of_the_burn(reference_landing):
    """What burns beside the first stage is in its mass at lift-off, and not at its burn-out."""
    motor = {"count": 2, "thrust_vacuum": "2400 kN", "isp_vacuum": "280 s", "starts": 1}
    booster = {
        "role": "launch stage",
        "dry_mass": "20 t",
        "length": "20 m",
        "diameter": "3 m",
        "beside": "first_stage",
        "tanks": {"grain": {"propellant": "solid propellant", "load": "200 t"}},
        "engines": {"motor": {**motor, "qualified_duration": "130 s", "fuel": "grain"}},
    }
    changes = {
        "elements.booster": booster,
        "stack": ["booster", *reference_landing.stack],
        "events.1.beside": ["booster"],
        "events.2.elements": ["booster", "first_stage"],
    }
    flight = walk.fly(reference_landing.change(changes))
    climb = named(flight, "first-stage climb")
    assert climb.mass_at_end == pytest.approx(flight.end.climb.parts[0].end_mass, rel=1e-6)
    begin = climb.moments[0]
    assert begin.available("pitch") > 0.0
    more = by_cause(begin.demands)["thrust misalignment"]
    alone = named(walk.fly(reference_landing), "first-stage climb").moments[0]
    assert more.pitch > by_cause(alone.demands)["thrust misalignment"].pitch
    assert begin.mass == pytest.approx(alone.mass + 2 * 110e3 + 0.03 * 20e3, rel=2e-2)


def test_separation_rates_are_nulled_after_each_separation(landing_plan):
    """At ignition after staging and when coasting on after a jettison; not without, nor later."""
    told = {phase.name: phase for phase in phases(landing_plan.flight)}
    nulling = {
        name: [at.when for at in phase.moments if "separation rate" in by_cause(at.demands)]
        for name, phase in told.items()
    }
    assert nulling["first-stage climb"] == []
    assert nulling["second-stage climb"] == ["ignition", "ignition, one engine out"]
    assert nulling["lunar ascent"] == ["ignition"]
    assert nulling["trans-Earth injection"] == []
    assert told["translunar coast"].moments[0].t > 0.0
    assert nulling["translunar coast"] == []
    assert nulling[list(told)[-1]] == ["begin"]


def test_a_throttled_engine_gives_less(landing_plan):
    """Powered descent begins at the least thrust: 12 % of what the gimbal gives at full thrust."""
    at = named(landing_plan.flight, "powered descent").moments[0]
    full = named(landing_plan.flight, "descent-orbit insertion").moments[1]
    gimbal = next(x for x in by_cause(at.supplies) if x.startswith("gimbal"))
    ratio = by_cause(at.supplies)[gimbal].pitch / by_cause(full.supplies)[gimbal].pitch
    assert ratio == pytest.approx(0.12, rel=0.02), "the craft is some kilograms lighter"


def test_the_angle_of_attack_flown_counts_without_wind(reference_landing):
    """In still air what is left at ignition of the second stage is the attitude flown."""
    calm = walk.fly(reference_landing.change("control.design_wind", "0 m/s"))
    at = named(calm, "second-stage climb").moments[0]
    track = calm.end.climb.track
    assert np.interp(at.t, track.t, track.dynamic_pressure) > 1.0, "Pa"
    assert by_cause(at.demands)["aerodynamic moment at the design wind"].pitch > 0.0
