"""What thrusters drew, element by element: for attitude, for settling, for burns; what is left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from mplan.flight.housekeeping import phases
from mplan.flight.record import BurnRecord, Flight
from mplan.physics.rocket import propellant
from mplan.scenario import Engine
from mplan.scenario.thruster_budget import ThrusterBudget
from mplan.vehicle.ledger import shares
from mplan.vehicle.same import once

SETTLING, BURNS, CLIMB = "settling", "burns", "climb"
WORKED_OUT = "estimate, from inertia and [thruster_budget]"


@dataclass(frozen=True)
class AccountLine:
    """One line: in which phase, for what [kg]; `basis` says where the figure is from."""

    phase: str
    item: str
    asked: float
    drawn: float
    basis: str


@dataclass(frozen=True)
class TankAccount:
    """The thrusters of one element, all masses in [kg].

    `left` is what they can still draw when the flight ends or the element is dropped; of that
    `reserve` is kept by the thruster budget, and `margins` by the margin policy for burns of the
    same tanks.
    """

    element: str
    engine: str
    entries: tuple[AccountLine, ...]
    left: float
    reserve: float
    margins: float

    def of(self, *items: str) -> float:
        """Return what some items drew."""
        return sum((each.drawn for each in self.entries if each.item in items), 0.0)

    @property
    def attitude(self) -> float:
        """Everything but settling and burns."""
        return sum(x.drawn for x in self.entries if x.item not in (SETTLING, BURNS))

    @property
    def lacks(self) -> float:
        """What the tanks did not hold; settling and burns have checks of their own."""
        return sum(x.asked - x.drawn for x in self.entries if x.item not in (SETTLING, BURNS))

    @property
    def spare(self) -> float:
        """What is left beyond reserve and margins; negative where the reserve is drawn on."""
        return self.left - self.reserve - self.margins


@once
def accounts(flight: Flight) -> tuple[TankAccount, ...]:
    """Return the account of each element whose thrusters drew anything, in stack order.

    Nothing where the scenario has no [thruster_budget].
    """
    budget = flight.scenario.thruster_budget
    if budget is None:
        return ()
    found: dict[tuple[str, str], list[AccountLine]] = {}
    for element, engine, entry in (*_drawn(flight), *_settled(flight), *_burned(flight)):
        found.setdefault((element, engine), []).append(entry)
    order = flight.scenario.order.index
    return tuple(
        _account(flight, budget, element, name, tuple(entries))
        for (element, name), entries in sorted(found.items(), key=lambda x: order(x[0][0]))
    )


def _account(
    flight: Flight,
    budget: ThrusterBudget,
    element: str,
    name: str,
    entries: tuple[AccountLine, ...],
) -> TankAccount:
    engine = flight.scenario.elements[element].engines[name]
    beside = sum(x.asked for x in entries if x.item not in (SETTLING, BURNS))
    return TankAccount(
        element=element,
        engine=name,
        entries=entries,
        left=flight.end.ledger.usable(element, engine),
        reserve=budget.reserves.get(element, budget.reserve * beside),
        margins=_margins(flight, element, engine),
    )


def _drawn(flight: Flight) -> Iterator[tuple[str, str, AccountLine]]:
    use = flight.end.thrusters
    for account, drawn in use.drawn.items() if use else ():
        basis = "stated" if drawn.stated else WORKED_OUT
        entry = AccountLine(account.phase, account.item, drawn.asked, drawn.given, basis)
        yield account.element, account.engine, entry


def _settled(flight: Flight) -> Iterator[tuple[str, str, AccountLine]]:
    """Yield what settled propellant before starts, already drawn then; by thrusters alone."""
    for burn in flight.burns:
        done = burn.settling
        if done is None or not done.element:
            continue
        if flight.scenario.elements[done.element].engines[done.engine].purpose == "thrusters":
            asked = done.propellant + done.lacks
            entry = AccountLine(_phase(burn), SETTLING, asked, done.propellant, burn.name)
            yield done.element, done.engine, entry


def _burned(flight: Flight) -> Iterator[tuple[str, str, AccountLine]]:
    for burn in flight.burns:
        engine = flight.scenario.elements[burn.element].engines[burn.engine]
        if engine.purpose == "thrusters":
            entry = AccountLine(_phase(burn), BURNS, burn.propellant, burn.propellant, burn.name)
            yield burn.element, burn.engine, entry


def _phase(burn: BurnRecord) -> str:
    return phases.of(burn.at_ignition, burn.craft) or CLIMB


def _margins(flight: Flight, element: str, engine: Engine) -> float:
    """Return what the margin policy keeps for burns, of the tanks that these thrusters draw on.

    As the last burn of each engine has it, in the ratio of the engine that burns.
    """
    owner, tanks = engine.crossfeed or element, set(shares(engine))
    kept = {}
    for burn in flight.burns:
        burning = flight.scenario.elements[burn.element].engines[burn.engine]
        if (burning.crossfeed or burn.element) == owner and tanks & set(shares(burning)):
            after = burn.mass - burn.propellant
            kept[burn.element, burn.engine] = propellant(burning.isp_vacuum, after, burn.reserved)
    return sum(kept.values())
