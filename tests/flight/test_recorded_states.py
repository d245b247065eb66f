"""The states that the walk records: at ignition, at cut-off, before and after every event."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

import mplan
from mplan.physics.arcs.lunar_orbit import coast
from mplan.vehicle import boil_off


def passage(plan: mplan.Plan, title: str):
    return next(x for x in plan.flight.passages if x.event.title == title)


def weighed(state, craft) -> float:
    """Return what a craft weighs, added up from the scenario and the tank levels alone [kg]."""
    scenario, mission, total = state.scenario, state.scenario.mission, 0.0
    for name in craft:
        element = scenario.elements[name]
        total += element.dry_mass * (1.0 + scenario.margins.mass_growth)
        if element.supplies is not None:
            kept = element.supplies
            total += kept.oxygen + kept.packed_food + kept.potable_water + kept.hygiene_water
            total += kept.lioh_canisters.count * kept.lioh_canisters.mass
        total += sum(state.ledger.levels[name, tank] for tank in element.tanks)
        total += state.crew.get(name, 0) * mission.crew_mass + state.cargo.get(name, 0.0)
    return total


def test_each_event_begins_where_the_one_before_ended(any_plan):
    """One walk: no state is made up between two events."""
    for first, then in pairwise(any_plan.flight.passages):
        assert then.before is first.after
    assert any_plan.flight.passages[-1].after is any_plan.flight.end


def test_a_burn_weighs_what_its_state_at_ignition_weighs(any_plan):
    """Elements, tanks, crew and cargo then add up to the mass that the rocket equation took."""
    for burn in any_plan.burns:
        assert weighed(burn.at_ignition, burn.craft) == pytest.approx(burn.mass, rel=1e-12)
        assert burn.at_ignition.elapsed == pytest.approx(burn.elapsed, abs=1e-6)


def test_the_crew_is_weighed_where_it_sits(landing_plan):
    """Two people ride down and up again, and their mass with them; one keeps the ship."""
    mission = landing_plan.scenario.mission
    down = passage(landing_plan, "powered descent").burn.at_ignition
    up = passage(landing_plan, "lunar ascent").burn.at_ignition
    home = passage(landing_plan, "trans-Earth injection").burn.at_ignition
    assert down.crew == {"crew_module": 1, "ascent_stage": 2}
    assert down.carried(("ascent_stage",))["ascent_stage"] == 2 * mission.crew_mass
    assert up.carried(("ascent_stage",))["ascent_stage"] == pytest.approx(
        2 * mission.crew_mass + mission.payload_up
    )
    assert home.carried(("crew_module",))["crew_module"] == pytest.approx(
        3 * mission.crew_mass + mission.payload_up
    )
    empty = replace(up, crew={}, cargo={"ascent_stage": mission.payload_up})
    burn = passage(landing_plan, "lunar ascent").burn
    people = burn.mass - weighed(empty, ("ascent_stage",))
    assert people == pytest.approx(2 * mission.crew_mass)


def test_what_has_boiled_off_is_missing_at_ignition(landing_plan):
    """The transfer stage's tanks: load less what the climb drew, less rate times time."""
    injected = passage(landing_plan, "translunar injection").burn
    climbed = next(burn for burn in landing_plan.burns if burn.name == "parking-orbit insertion")
    stage = landing_plan.scenario.elements["transfer_stage"]
    middle = injected.elapsed + injected.duration / 2.0
    gone = sum(map(boil_off.rate, stage.tanks.values())) * middle
    assert gone > 100.0
    here = injected.at_ignition.ledger.propellant("transfer_stage")
    there = climbed.at_cut_off.ledger.propellant("transfer_stage")
    settled = injected.settling.propellant if injected.settling.element == "transfer_stage" else 0.0
    assert there - here == pytest.approx(gone + settled, rel=1e-9)


def test_a_stage_ends_its_climb_without_what_it_cast_off(landing_plan):
    """The tower goes 35 s after the second stage is lit; the state at cut-off has none."""
    burn = passage(landing_plan, "second-stage climb").burn
    (tower,) = burn.cast_off
    assert tower.elements == ("escape_tower",)
    assert tower.t - burn.elapsed == pytest.approx(35.0)
    assert "escape_tower" in burn.craft
    assert "escape_tower" not in burn.at_cut_off.joined("second_stage")


def test_the_climb_weighs_at_cut_off_what_was_flown(any_plan):
    """Tanks, crew and what was jettisoned leave what the integrated climb ends each burn with."""
    parts = {part.name: part for part in any_plan.flight.end.climb.parts}
    for burn in (each for each in any_plan.burns if each.leg == "climb"):
        left = burn.at_cut_off
        assert left.mass(left.joined(burn.element)) == pytest.approx(
            parts[burn.element].end_mass, abs=1e-3
        )


def test_an_engine_runs_on_the_pad_too(landing_plan):
    """From ignition to release it burns propellant and seconds of its rating: three of them."""
    first = landing_plan.burns[0]
    assert first.hold_down == landing_plan.scenario.climb.hold_down == 3.0
    key = (first.element, first.engine)
    assert landing_plan.flight.end.ledger.seconds[key] == pytest.approx(first.duration + 3.0)
    assert first.running == pytest.approx(first.burned)


def test_an_orbit_flown_in_one_arc_is_that_flown_event_by_event(landing_plan):
    """The ship's orbit after each event: from the burn before it, and from event to event."""
    waits = [x for x in landing_plan.flight.passages if x.before.moon and x.after.moon]
    coasts = [x for x in waits if x.burn is None and x.after.elapsed > x.before.elapsed]
    assert len(coasts) > 4
    for each in coasts:
        on = coast(each.before.orbit, each.after.t - each.before.t)
        assert np.linalg.norm(on.r - each.after.orbit.r) < 0.5
        assert np.linalg.norm(on.v - each.after.orbit.v) < 5e-4
