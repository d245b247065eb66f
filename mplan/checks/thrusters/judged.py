"""What the account of thrusters finds: tanks run dry, a reserve drawn on, nothing counted."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.thrusters.accounts import TankAccount, accounts
from mplan.flight.record import Flight
from mplan.scenario.figures import Figures, amount, at_least
from mplan.scenario.thruster_budget import ThrusterBudget
from mplan.scenario.wording import plain

BUDGET = "the scenario's [thruster_budget]"
ROUNDING = 1e-6  # kg


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield what thrusters lack; one line of information where their use is not counted."""
    budget = flight.scenario.thruster_budget
    if budget is None:
        yield _not_counted()
        return
    for account in accounts(flight):
        if account.lacks > ROUNDING:
            yield _runs_dry(account)
        elif account.spare < -ROUNDING and not flight.ended:
            yield _reserve_drawn(account)
    if not flight.ended:
        yield from _never_drawn(flight, budget)


def _not_counted() -> Finding:
    return Finding(
        severity="for information",
        check="thrusters",
        event="the stack",
        text="attitude propellant is not counted: turns, attitude hold, dockings and separations "
        "take nothing from any tank",
        figures=Figures("a [thruster_budget]", "none"),
        basis=BUDGET,
    )


def _runs_dry(account: TankAccount) -> Finding:
    where, lacks = plain(account.element), amount(account.lacks)
    first = next(x for x in account.entries if x.asked - x.drawn > ROUNDING)
    text = (
        f"thrusters of the {where} lack {lacks} kg for attitude and docking: their tanks are dry "
        f"at {first.item} in the phase {first.phase}"
    )
    figures = at_least(account.attitude + account.lacks, account.attitude, "kg")
    return _finding(account, text, figures)


def _reserve_drawn(account: TankAccount) -> Finding:
    text = f"thrusters of the {plain(account.element)} lack {amount(-account.spare)} kg of reserve"
    if account.margins > 0.0:
        text += ", beside what the margins of burns keep in the same tanks"
    figures = at_least(account.reserve + account.margins, account.left, "kg")
    return _finding(account, text, figures)


def _finding(account: TankAccount, text: str, figures: Figures) -> Finding:
    subject = (account.element, account.engine)
    return Finding("stops the flight", "thrusters", account.element, text, figures, BUDGET, subject)


def _never_drawn(flight: Flight, budget: ThrusterBudget) -> Iterator[Finding]:
    """Yield each amount stated for a phase that this mission does not have."""
    use = flight.end.thrusters
    for phase, own in budget.phases.items():
        for item, kilograms in own.stated.items():
            if kilograms > 0.0 and (use is None or not use.has(phase, item)):
                yield Finding(
                    severity="for information",
                    check="thrusters",
                    event="the stack",
                    text=f"{amount(kilograms)} kg stated for {item} are never drawn: the mission "
                    f'has no phase "{phase}" in which thrusters turn a craft',
                    figures=Figures("a phase of the mission", f'"{phase}"'),
                    basis=f'thruster_budget.phases."{phase}".stated',
                )
