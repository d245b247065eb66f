"""Thrusters' propellant drawn as it happens: as time passes, before a burn, at an event."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from mplan.flight.housekeeping import items, phases
from mplan.flight.housekeeping.drawn import Account, Drawn, ThrusterUse
from mplan.flight.housekeeping.items import Items
from mplan.flight.state import Craft, State
from mplan.scenario import Scenario
from mplan.scenario.thruster_budget import ItemName, PhaseName, PhaseRules, ThrusterBudget
from mplan.vehicle import inertia
from mplan.vehicle.control import thrusting
from mplan.vehicle.control.thrusting import Thrusters
from mplan.vehicle.evolved import evolved
from mplan.vehicle.same import remembered

Work = Callable[[Thrusters, PhaseRules, PhaseName], Items]


def nothing_yet(scenario: Scenario) -> ThrusterUse | None:
    """Return the use before lift-off; None for a scenario that does not count it."""
    return ThrusterUse() if scenario.thruster_budget is not None else None


def coasted(state: State, crafts: Iterable[Craft] | None = None, named: str | None = None) -> State:
    """Return the state with what attitude has taken since it was last drawn.

    Of the `crafts` that flew meanwhile, by default those of the state. `named` is the element in
    control, where an event says so.
    """
    use, budget = state.thrusters, state.scenario.thruster_budget
    if use is None or budget is None or state.elapsed <= use.until or state.climbing:
        return state
    passed = state.elapsed - use.until
    state = evolved(state, thrusters=evolved(use, until=state.elapsed))
    for craft in state.craft if crafts is None else crafts:
        state = _held(state, craft, budget, passed, named)
    return state


def _held(
    state: State, craft: Craft, budget: ThrusterBudget, passed: float, named: str | None
) -> State:
    """Return the state with what the attitude of one craft has taken in the time that passed."""

    def attitude(by: Thrusters, during: PhaseRules, phase: PhaseName) -> Items:
        return items.coasting(by, during, budget, passed, phases.orbit(state, phase))

    return drawn(state, craft, attitude, named=named)


def drawn(
    state: State, craft: Craft, work: Work, *, burning: str | None = None, named: str | None = None
) -> State:
    """Return the state with what some `work` of a craft takes drawn from its thrusters' tanks.

    What the scenario states for the phase comes in its place, once, as the phase begins. Nothing is
    drawn on the ground, nor where nothing turns the craft, which a check of control finds.
    """
    use, budget = state.thrusters, state.scenario.thruster_budget
    phase = phases.of(state, craft)
    if use is None or budget is None or phase is None:
        return state
    by = _thrusters(state, craft, burning, named)
    if by is None:
        return state
    during = _during(budget, phase)
    worked_out = work(by, during, phase)
    asked = {x: Drawn(kg, 0.0) for x, kg in worked_out.items() if x not in during.stated}
    for item, kilograms in during.stated.items():
        if not use.has(phase, item):
            asked[item] = Drawn(kilograms, 0.0, stated=True)
    return _taken(state, craft, by, phase, asked)


@remembered(64)
def _during(budget: ThrusterBudget, phase: PhaseName) -> PhaseRules:
    return budget.during(phase)


def _thrusters(
    state: State, craft: Craft, burning: str | None, named: str | None
) -> Thrusters | None:
    laid = inertia.laid(craft, state.scenario)
    properties = inertia.of_laid(laid, state.ledger, state.carried(craft))
    return thrusting.of(laid, properties, burning, named)


def _taken(
    state: State, craft: Craft, by: Thrusters, phase: PhaseName, asked: Mapping[ItemName, Drawn]
) -> State:
    """Return the state with what was asked out of the tanks, or all that they still hold.

    Tanks that a crossfeed led to give nothing once they are no longer joined.
    """
    use, ledger = state.thrusters, state.ledger
    assert use is not None
    joined = (by.engine.crossfeed or by.element) in craft
    there = ledger.usable(by.element, by.engine) if joined else 0.0
    left, drawn = there, {}
    for item, (kilograms, _, stated) in asked.items():
        if kilograms > 0.0:
            given = min(kilograms, left)
            left -= given
            drawn[Account(phase, item, by.element, by.name)] = Drawn(kilograms, given, stated)
    if not drawn:
        return state
    ledger = ledger.after_pulses(by.element, by.engine, there - left)
    return evolved(state, ledger=ledger, thrusters=use.adding(drawn))
