"""Thrusters' propellant drawn as it happens: as time passes, before a burn, at an event."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from mplan.flight.housekeeping import items, phases
from mplan.flight.housekeeping.drawn import Account, Drawn, ThrusterUse
from mplan.flight.housekeeping.items import Items
from mplan.flight.state import Craft, State
from mplan.scenario import Scenario
from mplan.scenario.thruster_budget import PhaseName, PhaseUse, ThrusterBudget
from mplan.vehicle import inertia
from mplan.vehicle.control import thrusting
from mplan.vehicle.control.thrusting import Thrusters

Work = Callable[[Thrusters, PhaseUse, PhaseName], Items]


def nothing_yet(scenario: Scenario) -> ThrusterUse | None:
    """Return the use before lift-off; None for a scenario that does not count it."""
    counted = scenario.thruster_budget is not None
    return ThrusterUse(inertia.lengths(scenario)) if counted else None


def coasted(state: State, crafts: Iterable[Craft] | None = None, named: str | None = None) -> State:
    """Return the state with what attitude has taken since it was last drawn.

    Of the `crafts` that flew meanwhile, by default those of the state. `named` is the element in
    control, where an event says so.
    """
    use, budget = state.thrusters, state.scenario.thruster_budget
    if use is None or budget is None or state.elapsed <= use.until or state.climbing:
        return state
    passed = state.elapsed - use.until
    state = replace(state, thrusters=replace(use, until=state.elapsed))
    for craft in state.craft if crafts is None else crafts:
        state = _held(state, craft, budget, passed, named)
    return state


def _held(
    state: State, craft: Craft, budget: ThrusterBudget, passed: float, named: str | None
) -> State:
    """Return the state with what the attitude of one craft has taken in the time that passed."""

    def attitude(by: Thrusters, during: PhaseUse, phase: PhaseName) -> Items:
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
    by = _thrusters(state, use, craft, burning, named)
    if by is None:
        return state
    during = budget.during(phase)
    for item, asked in work(by, during, phase).items():
        if item not in during.stated and asked > 0.0:
            state = _taken(state, by, Account(phase, item, by.element, by.name), asked)
    for item, asked in during.stated.items():
        if not use.has(phase, item):
            account = Account(phase, item, by.element, by.name)
            state = _taken(state, by, account, asked, stated=True)
    return state


def _thrusters(
    state: State, use: ThrusterUse, craft: Craft, burning: str | None, named: str | None
) -> Thrusters | None:
    scenario, carried = state.scenario, state.carried(craft)
    properties = inertia.of(craft, scenario, state.ledger, carried, use.lengths)
    return thrusting.of(craft, scenario, properties, use.lengths, burning, named)


def _taken(
    state: State, by: Thrusters, account: Account, asked: float, *, stated: bool = False
) -> State:
    """Return the state with so much [kg] out of the tanks, or all that they still hold."""
    given = min(asked, state.ledger.usable(by.element, by.engine))
    ledger = state.ledger.after_pulses(by.element, by.engine, given)
    assert state.thrusters is not None
    use = state.thrusters.adding(account, Drawn(asked, given, stated))
    return replace(state, ledger=ledger, thrusters=use)
