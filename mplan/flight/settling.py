"""Before a pumped engine is lit in flight: its propellant is settled, at a price.

The craft goes on coasting while thrusters push: the burn stays at its time and place, and the
small velocity that they give is not credited. In the climb the propellant is still settled by the
stage below; it is held there until ignition. On the ground weight settles it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from mplan.flight.state import State
from mplan.scenario import BurnEvent, Engine
from mplan.vehicle import settling
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import main_engine
from mplan.vehicle.settling import Settler

ON_THE_GROUND = ("lunar ascent",)  # legs whose burn begins there


@dataclass(frozen=True)
class Settling:
    """How propellant was settled: by what, and its price.

    `acceleration` [m/s2], `duration` [s] and `propellant` [kg] are the thrusters'; `bond` is
    the Bond number of the tank that settles worst; `lacks` [kg] is what the thrusters' tanks did
    not hold. `element` is "" where nothing settles it: then all figures are zero.
    """

    element: str
    engine: str
    acceleration: float = 0.0
    duration: float = 0.0
    propellant: float = 0.0
    bond: float = 0.0
    lacks: float = 0.0
    starts: int = 1  # of a row of burns flown as one leg; propellant and lack are of them all


NOTHING = Settling("", "")


def settled_before(state: State, burn: BurnEvent, engine: Engine) -> tuple[State, Settling | None]:
    """Return the state with the propellant of the next ignition settled, and how that was done.

    None where it need not be.
    """
    tanks = state.scenario.elements[engine.crossfeed or burn.element]
    held = settling.liquids(tanks, engine) if engine.settling_required else []
    if not held or _settled(state, burn):
        return state, None
    craft = state.joined(burn.element)
    by = settling.settler(state.scenario, burn.element, engine, craft)
    if by is None:
        return state, NOTHING
    push = by.push / state.mass(craft)
    lasts = _held(state) if burn.leg == "climb" else settling.duration(held, engine, push)
    bond = settling.least_bond_number(held, push)
    after, drawn = _pushed(state, by, lasts)
    done = Settling(by.element, by.name, push, lasts, drawn, bond, by.flow * lasts - drawn)
    return after, done


def repeated(state: State, done: Settling, starts: int) -> tuple[State, Settling]:
    """Return state and settling once the engine has been settled for so many `starts`, not one.

    As for the first of them: the craft is lighter at the later ones and takes a little less.
    """
    if not done.element:
        return state, done
    by = _named(state, done)
    asked, drawn = done.propellant + done.lacks, done.propellant
    for _ in range(starts - 1):
        state, more = _pushed(state, by, done.duration)
        drawn += more
    return state, replace(done, propellant=drawn, lacks=starts * asked - drawn, starts=starts)


def _named(state: State, done: Settling) -> Settler:
    engine = state.scenario.elements[done.element].engines[done.engine]
    return Settler(done.element, done.engine, engine)


def _settled(state: State, burn: BurnEvent) -> bool:
    """Tell whether weight or, as the scenario has it, staging settles what is to be burned."""
    if burn.leg == "climb":
        return state.launched is None or state.scenario.climb.settled_at_separation
    return burn.leg in ON_THE_GROUND


def in_climb(state: State, burn: BurnEvent, wait: float) -> tuple[State, float]:
    """Return the state with the propellant of a stage held for `wait` [s], and what it took [kg].

    `state` is the stack on the pad: the stages below are gone by then, and settle nothing.
    """
    _, engine = main_engine(state.scenario.elements[burn.element], burn.engine)
    stack = state.joined(burn.element)
    above = stack[stack.index(burn.element) :]
    if not engine.settling_required or state.scenario.climb.settled_at_separation:
        return state, 0.0
    by = settling.settler(state.scenario, burn.element, engine, above)
    return (state, 0.0) if by is None else _pushed(state, by, wait)


def _pushed(state: State, by: Settler, lasts: float) -> tuple[State, float]:
    """Return the state after thrusters have pushed for a time [s], and what they drew [kg]."""
    drawn = min(by.flow * lasts, state.ledger.usable(by.element, by.engine))
    ledger = state.ledger.after_burn(by.element, by.name, by.engine, drawn, lasts)
    return evolved(state, ledger=ledger), drawn


def _held(state: State) -> float:
    """Return the time [s] from the burn-out below to the ignition of the next stage."""
    parts, now = state.climb.parts, state.stages_burned
    return parts[now].ignition - parts[now - 1].cut_off
