"""Propellant transferred between elements that are joined, and what settles it meanwhile.

Pumps, pressure, the flow in lines and how they are chilled down are not modelled: how long it
takes and what share is lost are stated. What leaves the origin is at most what an engine could
draw, residuals staying; what arrives is at most what the target's tanks still hold up to their
capacity. Several tanks give in proportion to what they can, and take in proportion to their room.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from mplan.flight.state import State
from mplan.physics.propellants import PROPELLANTS
from mplan.physics.rocket import mass_flow
from mplan.scenario import TransferPropellantEvent
from mplan.vehicle import settling
from mplan.vehicle.ledger import Key, Ledger
from mplan.vehicle.settling import Settler

COLD_LOSS = 0.03  # share of what leaves, chilling lines and tanks down; common practice, no source


@dataclass(frozen=True)
class Transferred:
    """What a transfer moved [kg], and what it could have.

    `wanted` is what was to arrive, None where no amount is stated; `giveable` what could have
    arrived of what the origin held, losses apart; `room` what the target could take.
    `pushing` [kg] is what settled it meanwhile, `lacks` [kg] what the thrusters' tanks did not
    hold of it. `push` [m/s2] is the acceleration that they can give the craft at most, and
    `settler` their element, "" where there is none; both are None where nothing is to be settled.
    """

    arrived: float
    lost: float
    wanted: float | None
    giveable: float
    room: float
    pushing: float = 0.0
    lacks: float = 0.0
    push: float | None = None
    settler: str | None = None


def transferred(state: State, event: TransferPropellantEvent) -> tuple[State, Transferred]:
    """Return the state with the propellant in its new tanks, and what was moved; no time passes."""
    state, pushed = _settled(state, event)
    origin, target = _given(state, event), _room(state, event)
    loss = loss_of(event)
    giveable, room = (1.0 - loss) * sum(origin.values()), sum(target.values())
    wanted = giveable if event.amount is None else event.amount
    arrived = min(wanted, giveable, room)
    ledger = state.ledger
    if arrived > 0.0:
        given = _shared(origin, arrived / (1.0 - loss))
        ledger = ledger.after_transfer(given, _shared(target, arrived), loss)
    done = replace(
        pushed,
        arrived=arrived,
        lost=arrived * loss / (1.0 - loss),
        wanted=event.amount,
        giveable=giveable,
        room=room,
    )
    return replace(state, ledger=ledger), done


def loss_of(event: TransferPropellantEvent) -> float:
    """Return the share of what leaves the origin that is lost: as stated, or by practice."""
    if event.losses is not None:
        return event.losses
    return COLD_LOSS if PROPELLANTS[event.propellant].cryogenic else 0.0


def _given(state: State, event: TransferPropellantEvent) -> dict[Key, float]:
    """Return what each tank of the origin can give [kg]."""
    levels, unusable = state.ledger.levels, state.ledger.unusable
    tanks = state.scenario.elements[event.origin].tanks
    keys = [(event.origin, x) for x, tank in tanks.items() if tank.propellant == event.propellant]
    return {key: max(0.0, levels[key] - unusable[key]) for key in keys}


def _room(state: State, event: TransferPropellantEvent) -> dict[Key, float]:
    """Return what each tank of the target can still take [kg]."""
    tanks = state.scenario.elements[event.target].tanks
    return {
        (event.target, x): max(0.0, tank.full - state.ledger.levels[event.target, x])
        for x, tank in tanks.items()
        if tank.propellant == event.propellant
    }


def _shared(among: Mapping[Key, float], mass: float) -> dict[Key, float]:
    """Return a mass [kg] divided in proportion to what each tank can give or take."""
    whole = sum(among.values())
    return {key: mass * part / whole for key, part in among.items()}


def _settled(state: State, event: TransferPropellantEvent) -> tuple[State, Transferred]:
    """Return the state once thrusters have kept the propellant settled, and what that took.

    They fire for the share of the time that gives the acceleration asked for in the mean, at the
    mass of the craft before.
    """
    nothing = Transferred(0.0, 0.0, None, 0.0, 0.0)
    if event.settling_acceleration is None:
        return state, nothing
    craft = state.joined(event.target)
    by = settling.first_settler(state.scenario, event.target, craft)
    if by is None:
        return state, replace(nothing, settler="", push=0.0)
    mass = state.mass(craft)
    push = min(by.push, event.settling_acceleration * mass)  # N, in the mean
    asked = mass_flow(push, by.engine.isp_vacuum) * event.duration
    ledger, drawn = _pushed(state.ledger, by, asked, push / by.push * event.duration)
    done = replace(
        nothing, settler=by.element, push=by.push / mass, pushing=drawn, lacks=asked - drawn
    )
    return replace(state, ledger=ledger), done


def _pushed(ledger: Ledger, by: Settler, asked: float, seconds: float) -> tuple[Ledger, float]:
    """Return the ledger after thrusters have drawn what they can of what is `asked` [kg]."""
    drawn = min(asked, ledger.usable(by.element, by.engine))
    return ledger.after_burn(by.element, by.name, by.engine, drawn, seconds), drawn
