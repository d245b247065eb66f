"""What a burn could draw from elsewhere: an engine burns its own element's propellant.

Only an engine with a `crossfeed` draws from another element, and then from that one alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from mplan.flight.state import State
from mplan.flight.unflyable import Unflyable
from mplan.scenario import BurnEvent, Engine
from mplan.vehicle.ledger import main_engine, shares

NONE: Mapping[str, float] = MappingProxyType({})


def require_joined(state: State, index: int, burn: BurnEvent) -> None:
    """Raise Unflyable where a burn draws from an element that is not joined to its own."""
    _, engine = main_engine(state.scenario.elements[burn.element], burn.engine)
    craft = state.joined(burn.element)
    if engine.crossfeed is not None and engine.crossfeed not in craft:
        text = f"found {burn.element} drawing from {engine.crossfeed}, which is not joined to it"
        raise Unflyable(("events", index), f"{text}; accepted: {', '.join(craft)}")


def elsewhere(state: State, element: str, engine: Engine) -> Mapping[str, float]:
    """Return what joined elements hold of an engine's propellants and it cannot draw [kg].

    By element: what could be burned in the engine's own ratio, residuals left in.
    """
    craft = state.joined(element)
    if len(craft) < 2:
        return NONE
    owner = engine.crossfeed or element
    tanks = state.scenario.elements[owner].tanks
    wanted: dict[str, float] = {
        tanks[tank].propellant: share for tank, share in shares(engine).items()
    }
    held = {name: _burnable(state, name, wanted) for name in craft if name != owner}
    return MappingProxyType({name: mass for name, mass in held.items() if mass > 0.0})


def _burnable(state: State, element: str, wanted: Mapping[str, float]) -> float:
    tanks = state.scenario.elements[element].tanks
    return min(
        sum(
            max(0.0, state.ledger.levels[element, tank] - state.ledger.unusable[element, tank])
            for tank, holds in tanks.items()
            if holds.propellant == propellant
        )
        / share
        for propellant, share in wanted.items()
    )
