"""What thrusters draw for an event: a burn's turns, a docking, a separation, an entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from mplan.flight.housekeeping import drawing, items
from mplan.flight.state import Craft, State
from mplan.scenario import (
    BurnEvent,
    DockEvent,
    EnterEvent,
    Event,
    JettisonEvent,
    Scenario,
    UndockEvent,
)
from mplan.scenario.thruster_budget import ItemName, PhaseName, PhaseRules, ThrusterBudget
from mplan.vehicle.control.thrusting import Thrusters
from mplan.vehicle.evolved import evolved
from mplan.vehicle.inertia import SHIP

if TYPE_CHECKING:
    from mplan.flight.record import BurnRecord


def turned(state: State, burn: BurnEvent, times: int = 1) -> State:
    """Return the state once the craft has turned for a burn, or for a row of burns."""
    budget = state.scenario.thruster_budget
    if budget is None or burn.leg == "climb":
        return state
    count = times * budget.burn_turns

    def turns(by: Thrusters, during: PhaseRules, phase: PhaseName) -> items.Items:
        return items.turns(by, during.turn_rate, count)

    craft = state.joined(burn.element)
    return drawing.drawn(state, craft, turns, burning=burn.element, named=burn.control)


def after(before: State, event: Event, state: State, record: BurnRecord | None) -> State:
    """Return the state after an event with what its time and the event itself have taken."""
    budget, use = state.scenario.thruster_budget, state.thrusters
    if budget is None or use is None:
        return state
    if before.climbing:  # thrusters of a climb only settle
        return evolved(state, thrusters=evolved(use, until=state.elapsed))
    there = {name for craft in state.craft for name in craft}
    flew = (tuple(x for x in craft if x in there) for craft in before.craft)
    state = drawing.coasted(state, flew, event.control)
    match event:
        case BurnEvent():
            return _steered(state, event, record)
        case DockEvent():
            return _docked(before, event, state, budget)
        case UndockEvent():
            return _undocked(event, state, budget)
        case JettisonEvent():
            return _separated(before, event, state, budget)
        case EnterEvent():
            return _rolled(event, state, budget)
    return state


def mover(before: State, event: DockEvent) -> tuple[Craft, bool]:
    """Return the craft that moves up in a docking, and whether it leaves another one first.

    Where both are in one stack it leaves that, and turns round.
    """
    craft = before.joined(event.element)
    if event.target not in craft:
        return craft, False
    scenario = before.scenario
    ship = _of_ship(scenario, event.element)
    return tuple(x for x in craft if _of_ship(scenario, x) == ship), True


def _of_ship(scenario: Scenario, name: str) -> bool:
    return scenario.elements[name].role in SHIP


def _pushed(
    state: State,
    craft: Craft,
    delta_v: float,
    item: ItemName,
    named: str | None,
    turns: float = 0.0,
) -> State:
    """Return the state once a craft has given itself a velocity [m/s], and turned so many times."""
    mass = state.mass(craft)

    def push(by: Thrusters, during: PhaseRules, phase: PhaseName) -> items.Items:
        turning = items.turns(by, during.turn_rate, turns)
        return {item: items.pushed(by, mass, delta_v), **turning}

    return drawing.drawn(state, craft, push, named=named)


def _docked(before: State, event: DockEvent, state: State, budget: ThrusterBudget) -> State:
    craft, leaves = mover(before, event)
    met = before.rendezvous
    paid = met is not None and met.element in craft and before.scenario.rendezvous.docking > 0.0
    delta_v = 0.0 if paid else budget.docking_delta_v
    if leaves:
        delta_v += budget.undocking_delta_v
    return _pushed(state, craft, delta_v, "docking", event.control, turns=float(leaves))


def _undocked(event: UndockEvent, state: State, budget: ThrusterBudget) -> State:
    craft = state.joined(event.control or event.elements[0])
    return _pushed(state, craft, budget.undocking_delta_v, "docking", event.control)


def _separated(before: State, event: JettisonEvent, state: State, budget: ThrusterBudget) -> State:
    """Return the state once what is left has moved away; in the climb, it did by itself.

    A crew module's thrusters turn it and do not push: then what it leaves moves away.
    """
    whole = before.joined(event.elements[0])
    left = tuple(x for x in whole if x not in event.elements)
    if event.at is not None or not left:
        return state
    if {state.scenario.elements[x].role for x in left} == {"crew module"}:
        gone = tuple(x for x in whole if x in event.elements)
        return _pushed(state, gone, budget.separation_delta_v, "separation", None)
    return _pushed(state, left, budget.separation_delta_v, "separation", event.control)


def _steered(state: State, burn: BurnEvent, record: BurnRecord | None) -> State:
    """Return the state once a fixed engine has been held on its course, where one has burned."""
    if record is None:
        return state
    engine = state.scenario.elements[record.element].engines[record.engine]
    if engine.purpose != "main" or engine.gimbal != 0.0:
        return state
    offset, burned = state.scenario.control.centre_of_mass_offset, record.propellant

    def hold(by: Thrusters, during: PhaseRules, phase: PhaseName) -> items.Items:
        return items.steering(by, engine, burned, offset)

    craft = state.joined(burn.element)
    return drawing.drawn(state, craft, hold, burning=burn.element, named=burn.control)


def _rolled(event: EnterEvent, state: State, budget: ThrusterBudget) -> State:
    def roll(by: Thrusters, during: PhaseRules, phase: PhaseName) -> items.Items:
        return items.rolls(by, budget.entry_turn_rate, budget.entry_turns)

    return drawing.drawn(state, state.joined(event.element), roll, named=event.control)
