"""Does each transfer of propellant move what it is to, and is it kept settled meanwhile?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding, Severity
from mplan.flight.record import Flight
from mplan.flight.ships import transfer
from mplan.flight.ships.transfer import Transferred
from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import TransferPropellantEvent
from mplan.scenario.figures import Figures, FoundNumber, amount, at_least, at_most
from mplan.scenario.wording import plain

NEAR = 1e-6  # kg
AMOUNT = "amount of the event"
CAPACITY = "capacity of its tanks, or their load where none is stated"
SETTLING = "settling_acceleration of the event"
PRACTICE = "common practice, no source"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield what each transfer lacks, and that moving cold propellant is not proven by a plan."""
    for passage in flight.passages:
        event = passage.event
        if isinstance(event, TransferPropellantEvent):
            _, done = transfer.transferred(passage.before, event)
            yield from _amounts(event, done)
            yield from _settling(event, done)
            if PROPELLANTS[event.propellant].cryogenic:
                yield _cold(event, done)


def _amounts(event: TransferPropellantEvent, done: Transferred) -> Iterator[Finding]:
    """Yield what keeps the amount from arriving: what is not there, or finds no room."""
    what, origin, target = event.propellant, plain(event.origin), plain(event.target)
    if done.arrived <= NEAR and done.wanted is None:
        text = f"{event.title} moves nothing: {origin} has none to give or {target} has no room"
        room, there = f"room for {amount(done.room)} kg", f"{amount(done.giveable)} kg"
        figures = Figures(room, there, amounts=(FoundNumber(done.giveable, 1),))
        yield _finding("needs a decision", event, text, figures, CAPACITY)
    if done.wanted is None:
        return
    if done.wanted > done.giveable + NEAR:
        text = f"{event.title}: {origin} has too little {what} to give, losses counted"
        figures = at_least(done.wanted, done.giveable, "kg")
        yield _finding("stops the flight", event, text, figures, AMOUNT)
    if done.wanted > done.room + NEAR:
        text = f"{event.title}: the tanks of {target} have no room for so much {what}"
        figures = at_most(done.room, done.wanted, "kg")
        yield _finding("stops the flight", event, text, figures, CAPACITY)


def _settling(event: TransferPropellantEvent, done: Transferred) -> Iterator[Finding]:
    """Yield why propellant is not settled as the event has it."""
    asked = event.settling_acceleration
    if asked is None or done.push is None:
        return
    if not done.settler:
        text = f"{event.title}: nothing settles it, as no thrusters are joined"
        figures = Figures("settled propellant", "no thrusters")
        yield _finding("stops the flight", event, text, figures, SETTLING)
        return
    if done.push < asked:
        text = f"{event.title}: thrusters of {plain(done.settler)} push too little to settle it"
        figures = at_least(asked * 1e3, done.push * 1e3, "mm/s2", 2)
        yield _finding("stops the flight", event, text, figures, SETTLING)
    if done.lacks > NEAR:
        text = f"{event.title}: thrusters of {plain(done.settler)} run out of propellant meanwhile"
        figures = at_least(done.pushing + done.lacks, done.pushing, "kg")
        yield _finding("stops the flight", event, text, figures, SETTLING)


def _cold(event: TransferPropellantEvent, done: Transferred) -> Finding:
    text = (
        f"{event.title}: losses and duration are as stated or assumed; pumps, pressure and the "
        "chilling of lines and tanks are not modelled, and have to be tested for this design"
    )
    figures = Figures(
        "none stated",
        f"{amount(done.arrived)} kg arrive, {amount(done.lost)} kg lost",
        amounts=(FoundNumber(done.arrived, 1), FoundNumber(done.lost, 1)),
    )
    basis = PRACTICE if event.losses is None else "losses of the event"
    return _finding("for information", event, text, figures, basis)


def _finding(
    severity: Severity,
    event: TransferPropellantEvent,
    text: str,
    figures: Figures,
    basis: str,
) -> Finding:
    subject = (event.origin, event.target)
    return Finding(severity, "propellant transfer", event.title, text, figures, basis, subject)
