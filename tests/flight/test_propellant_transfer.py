"""Propellant transferred between joined elements: what moves, what is lost, what settles it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
import tomlkit

import mplan
from mplan import contract
from mplan.flight.sequence import faults
from mplan.physics.constants import G0
from mplan.vehicle import boil_off, layout

EVENT = {
    "do": "transfer propellant",
    "origin": "lander_bay",
    "target": "transfer_stage",
    "propellant": "liquid oxygen",
    "amount": "1 t",
    "losses": "4 %",
    "settling_acceleration": "0.0005 m/s2",
    "duration": "20 min",
}
DEPOT = {"oxygen": {"propellant": "liquid oxygen", "load": "1.2 t", "boil_off": "0 %"}}
OXYGEN, DEPOT_OXYGEN = ("transfer_stage", "oxygen"), ("lander_bay", "oxygen")


def with_transfer(
    scenario: mplan.Scenario, changes: dict[str, Any], leg: str = "parking orbit"
) -> mplan.Scenario:
    """The mission with an adapter that carries oxygen, some of it transferred before a leg."""
    events = tomlkit.parse(scenario.events_as_toml()).unwrap()["events"]
    place = next(i for i, x in enumerate(events) if x.get("leg") == leg)
    event = {k: x for k, x in {**EVENT, **changes}.items() if x is not None}
    used = "lander_bay" in event.values() and event["propellant"] == "liquid oxygen"
    tanks = {"elements.lander_bay.tanks": DEPOT} if used else {}
    return scenario.change({**tanks, "events": [*events[:place], event, *events[place:]]})


@pytest.fixture(scope="module")
def flown(reference_landing) -> Callable[..., mplan.Plan]:
    """Flies the mission with changes of the transfer, steered as its first flight."""
    kept: list[mplan.Plan] = []

    def fly(**changes: object) -> mplan.Plan:
        like = kept[0] if kept else None
        kept.append(mplan.fly(with_transfer(reference_landing, changes), like=like))
        return kept[-1]

    return fly


def passage_of(plan: mplan.Plan):
    return next(x for x in plan.flight.passages if x.event.do == "transfer propellant")


def told(plan: mplan.Plan) -> list[tuple[str, str]]:
    found = [x for x in plan.findings if x.check == "propellant transfer"]
    return [(x.severity, x.text.partition(": ")[2]) for x in found]


def test_what_leaves_arrives_or_is_lost(flown):
    """Nothing appears or vanishes: 1 t arrives of 1 t / 0.96; the rest is lost on the way."""
    plan = flown()
    passage = passage_of(plan)
    before, after = passage.before.ledger, passage.after.ledger
    gone = before.levels[DEPOT_OXYGEN] - after.levels[DEPOT_OXYGEN]
    assert gone == pytest.approx(1000.0 / 0.96)
    boiled = after.boiled[OXYGEN] - before.boiled.get(OXYGEN, 0.0)
    came = after.levels[OXYGEN] - before.levels[OXYGEN] + boiled
    assert came == pytest.approx(1000.0)
    assert after.spilt[DEPOT_OXYGEN] == pytest.approx(gone - came)
    assert after.received == {DEPOT_OXYGEN: pytest.approx(-came), OXYGEN: pytest.approx(came)}
    assert passage.after.elapsed - passage.before.elapsed == pytest.approx(1200.0)
    tanks = {(x["element"], x["tank"]): x for x in contract.document(plan)["tanks"]}
    tank = tanks[DEPOT_OXYGEN]
    assert tank["received_kg"] == pytest.approx(-1000.0)
    assert tank["lost_in_transfer_kg"] == pytest.approx(1000.0 / 24.0)


def test_settling_takes_what_its_impulse_takes(flown):
    """Mass, acceleration and time are an impulse; over the exhaust velocity it is propellant."""
    passage = passage_of(flown())
    before, after = passage.before, passage.after
    by = before.scenario.elements["transfer_stage"].engines["settling"]
    craft = before.joined("transfer_stage")
    expected = before.mass(craft) * 0.0005 * 1200.0 / (by.isp_vacuum * G0)
    key = ("transfer_stage", by.fuel)
    assert before.ledger.levels[key] - after.ledger.levels[key] == pytest.approx(expected)
    mass = before.mass(craft) - after.mass(craft)
    boiled = sum(after.ledger.boiled.values()) - sum(before.ledger.boiled.values())
    assert mass == pytest.approx(expected + 1000.0 / 24.0 + boiled)


def test_without_an_amount_all_that_can_be_given_moves(flown):
    """Residuals stay; 3 % is lost where the event states no losses."""
    plan = flown(amount=None, losses=None)
    passage = passage_of(plan)
    unusable = passage.before.ledger.unusable[DEPOT_OXYGEN]
    assert passage.after.ledger.levels[DEPOT_OXYGEN] == pytest.approx(unusable)
    given = passage.before.ledger.levels[DEPOT_OXYGEN] - unusable
    assert passage.after.ledger.spilt[DEPOT_OXYGEN] == pytest.approx(0.03 * given)
    assert passage.moment.estimate
    assert [severity for severity, _ in told(plan)] == ["for information"]


def test_more_than_there_is_stops_the_flight(flown):
    """What can be given is moved, and the finding says how much is lacking."""
    plan = flown(amount="5 t")
    lacking = "lander bay has too little liquid oxygen to give, losses counted"
    assert ("stops the flight", lacking) in told(plan)
    assert not plan.closes


def test_thrusters_too_weak_are_found(flown):
    """1 m/s2 of some 130 t is more than settling thrusters give."""
    plan = flown(settling_acceleration="1 m/s2")
    weak = "thrusters of transfer stage push too little to settle it"
    assert ("stops the flight", weak) in told(plan)


def test_a_full_tank_takes_nothing_more(flown):
    """Back into the adapter's full tank: there is no room."""
    plan = flown(origin="transfer_stage", target="lander_bay", losses="0 %")
    no_room = "the tanks of lander bay have no room for so much liquid oxygen"
    assert ("stops the flight", no_room) in told(plan)
    passage = passage_of(plan)
    level = passage.after.ledger.levels[DEPOT_OXYGEN]
    assert level == pytest.approx(
        passage.before.scenario.elements["lander_bay"].tanks["oxygen"].full
    )


@pytest.mark.parametrize(
    ("changes", "leg", "text"),
    [
        ({}, "outbound correction", "lander_bay has been jettisoned before"),
        ({"target": "lander_bay"}, "parking orbit", "to itself; name two elements"),
        (
            {"target": "descent_stage"},
            "parking orbit",
            "descent_stage has no tank of liquid oxygen",
        ),
        ({"propellant": "solid propellant"}, "parking orbit", "solid propellant cannot be"),
        (
            {"origin": "descent_stage", "target": "service_module", "propellant": "MMH"},
            "descent-orbit insertion",
            "descent_stage and service_module are not joined",
        ),
        ({}, "climb", "before the climb is over"),
    ],
)
def test_faults_in_the_order_of_events(reference_landing, changes, leg, text):
    """Each is told with its event, and nothing is flown."""
    scenario = with_transfer(reference_landing, changes, leg)
    found = [x for x in faults(scenario) if text in x.text]
    assert found
    assert scenario.events[found[0].event].do == "transfer propellant"


def test_a_larger_tank_is_longer_and_leaks_as_a_larger_one(reference_landing):
    """A tank that lifts off half full has the size and the heat leak of the full one."""
    stage, key = (
        reference_landing.elements["transfer_stage"],
        "elements.transfer_stage.tanks.oxygen",
    )
    tank = stage.tanks["oxygen"]
    half = reference_landing.change({f"{key}.load": f"{tank.load / 2} kg"})
    large = half.change({f"{key}.capacity": f"{tank.load} kg"})
    as_large = large.elements["transfer_stage"]
    assert layout.of(as_large).length == pytest.approx(layout.of(stage).length)
    assert layout.of(half.elements["transfer_stage"]).length < layout.of(stage).length
    assert boil_off.rate(as_large.tanks["oxygen"]) == pytest.approx(boil_off.rate(tank))


def test_a_capacity_below_the_load_is_refused(reference_landing):
    """A tank cannot lift off with more than it holds."""
    with pytest.raises(mplan.ScenarioError, match="capacity"):
        reference_landing.change({"elements.transfer_stage.tanks.oxygen.capacity": "1 t"})
