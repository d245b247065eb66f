"""Who steers through a mission: phases without gaps, handovers, and each finding when it is due."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

import mplan
from mplan.checks import Finding, control
from mplan.checks.phases import phases
from mplan.flight import walk


def found(scenario: mplan.Scenario, **changes: object) -> list[Finding]:
    """Findings on who steers, on the scenario with changes given as keys with __ for dots."""
    changed = {key.replace("__", "."): value for key, value in changes.items()}
    return list(control.findings(walk.fly(scenario.change(changed))))


def test_the_demos_are_steered(any_plan):
    """Somebody steers each phase, within the unit's capacity, from hold-down to entry."""
    told = phases(any_plan.flight)
    assert told[0].kind == "hold-down"
    assert told[-1].kind == "enter"
    assert all(phase.controller in phase.craft for phase in told)
    assert all(phase.steered_from == phase.begin for phase in told)
    assert list(control.findings(any_plan.flight)) == []


def test_no_time_is_left_out(landing_plan):
    """One phase follows the other but on the ground and in the pauses of the climb."""
    told = [phase for phase in phases(landing_plan.flight) if not phase.beside]
    gaps = [(x.name, y.name, y.begin - x.end) for x, y in pairwise(told) if y.begin - x.end > 30.0]
    assert [pair[:2] for pair in gaps] == [("powered descent", "lunar ascent")]


def test_masses_are_the_flights(landing_plan):
    """A burn's phase begins and ends with the masses of its record and the moment after it."""
    told = {phase.name: phase for phase in phases(landing_plan.flight)}
    for burn in landing_plan.burns:
        assert told[burn.name].mass == burn.mass
    tei = next(x for x in landing_plan.burns if x.leg == "trans-Earth injection")
    assert told["trans-Earth injection"].mass_at_end == pytest.approx(tei.mass - tei.propellant)
    climb = told["second-stage climb"]
    track = landing_plan.flight.end.climb.track
    before = track.mass[np.flatnonzero(track.t <= climb.end)]
    assert climb.mass_at_end == pytest.approx(before[before > 160e3].min(), rel=1e-3)


def test_the_tower_dropped_in_a_burn_is_gone_at_its_end(landing_plan):
    """What leaves while the second stage burns is in the mass at its beginning alone."""
    told = {phase.name: phase for phase in phases(landing_plan.flight)}
    climb = told["second-stage climb"]
    burn = next(x for x in landing_plan.burns if x.name == "second-stage climb")
    assert burn.mass - burn.propellant - climb.mass_at_end == pytest.approx(3.6e3 * 1.03)


def test_docking_is_flown_by_what_moves(landing_plan):
    """The ship alone turns round for the lander; the ascent stage alone comes back to it."""
    told = {phase.name: phase for phase in phases(landing_plan.flight)}
    turned = told["turn round and dock to the lander"]
    assert turned.craft == ("service_module", "crew_module")
    assert turned.docking
    back = told["dock ascent stage to crew module"]
    assert back.craft == ("ascent_stage",)


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


def test_handovers(landing_plan):
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


def test_too_heavy_at_first(reference_landing):
    """A unit good for 2000 t is told to steer only once the mass has come down to that."""
    flight = walk.fly(reference_landing.change("elements.first_stage.control_capacity", "2000 t"))
    climb = next(x for x in phases(flight) if x.name == "first-stage climb")
    track = flight.end.climb.track
    assert np.interp(climb.steered_from, track.t, track.mass) == pytest.approx(2e6, rel=1e-9)
    finding = next(iter(control.findings(flight)))
    assert finding.severity == "stops the flight"
    assert finding.text == (
        "at first-stage climb the craft is too heavy for the control unit of first stage "
        f"until {climb.steered_from:.1f} s after lift-off"
    )
    assert (finding.limit, finding.found) == ("2000.0 t at most", f"{climb.mass / 1e3:.1f} t")


def test_too_heavy_throughout(reference_landing):
    """A burn whose unit never comes within its capacity says so; a coast as well."""
    texts = [
        x.text for x in found(reference_landing, elements__service_module__control_capacity="9 t")
    ]
    assert any(
        "too heavy for the control unit of service module, until its end" in x for x in texts
    )


def test_time_within_a_burn_far_from_earth(reference_landing):
    """Between even burning, the time of coming within is that of the mass."""
    flight = walk.fly(reference_landing.change("elements.service_module.control_capacity", "40 t"))
    phase = next(x for x in phases(flight) if x.name == "lunar-orbit insertion")
    share = (phase.steered_from - phase.begin) / (phase.end - phase.begin)
    now = phase.mass + share * (phase.mass_at_end - phase.mass)
    assert now == pytest.approx(40e3)


def test_nobody_steers(reference_landing):
    """Without any unit aboard the stage that burns, the next in line steers; with none, nobody."""
    other = walk.fly(reference_landing.change("elements.first_stage.control_capacity", None))
    assert phases(other)[0].controller == "second_stage"
    home = reference_landing.change(
        {
            "elements.crew_module.control_capacity": None,
        }
    )
    last = list(control.findings(walk.fly(home)))[-1]
    assert last.text == "nothing steers at enter crew module: no control unit is aboard crew module"


def test_an_event_may_name_who_steers(reference_landing):
    """`control` of an event overrides the rule."""
    index = next(
        i
        for i, event in enumerate(reference_landing.events)
        if getattr(event, "leg", None) == "lunar-orbit insertion"
    )
    changed = reference_landing.change(f"events.{index}.control", "descent_stage")
    told = {phase.name: phase for phase in phases(walk.fly(changed))}
    assert told["lunar-orbit insertion"].controller == "descent_stage"


def test_weak_thrusters(reference_landing):
    """Thrusters too weak to turn, and to dock, are found, as a decision and with the limit."""
    weak = found(
        reference_landing, elements__service_module__engines__thrusters__thrust_vacuum="2 N"
    )
    pushes = [x for x in weak if "push too weakly" in x.text]
    turns = [x for x in weak if "turns too slowly in" in x.text]
    assert {x.severity for x in (*pushes, *turns)} == {"needs a decision"}
    assert pushes[0].limit == "0.020 m/s2 or more"
    assert turns[0].basis.startswith("the scenario's [control]")


def test_nothing_turns_it(reference_landing):
    """A ship without thrusters cannot turn round to its lander."""
    bare = {
        "elements.service_module.engines.thrusters": None,
        "elements.crew_module.engines.thrusters": None,
        "elements.crew_module.tanks.thruster_fuel": None,
    }
    texts = [x.text for x in control.findings(walk.fly(reference_landing.change(bare)))]
    assert (
        "nothing turns the craft at turn round and dock to the lander: it has neither gimbal nor "
        "thrusters" in texts
    )


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
    }
    flight = walk.fly(reference_landing.change(changes))
    climb = next(x for x in phases(flight) if x.name == "first-stage climb")
    assert climb.mass_at_end == pytest.approx(flight.end.climb.parts[0].end_mass, rel=1e-6)
    assert climb.first.pitch is not None
