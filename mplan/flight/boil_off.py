"""Boiling off, drawn from the tanks as time passes: of what is still in flight, once."""

from __future__ import annotations

from mplan.flight.state import State
from mplan.vehicle import boil_off
from mplan.vehicle.evolved import evolved


def drawn(state: State) -> State:
    """Return the state with what has boiled off until now taken out of the tanks.

    Counted from lift-off, but drawn from the parking orbit on: the climb is flown whole, with the
    tanks as they are on the pad, and the minutes that it takes are then drawn of what is left.
    """
    passed = state.elapsed - state.boiled_to
    if passed <= 0.0 or state.climbing:
        return state
    flying = (name for craft in state.craft for name in craft)
    lost = boil_off.losses(state.scenario, flying, passed)
    ledger = state.ledger.after_boil_off(lost) if lost else state.ledger
    return evolved(state, ledger=ledger, boiled_to=state.elapsed)
