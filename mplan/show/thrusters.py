"""How the account of thrusters is written: a table by phase and item, and a line an element."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.checks.thrusters import BURNS, SETTLING, TankAccount, accounts
from mplan.plan import Plan
from mplan.scenario.figures import amount
from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.told import joined, told


class ThrusterRow(NamedTuple):
    """One line of the table: what was asked and drawn [kg], or what is left and kept."""

    element: str
    phase: str
    item: str
    drawn: float
    short: float
    basis: str


def of(account: TankAccount) -> Iterator[ThrusterRow]:
    """Yield what an element's thrusters drew, then what is left and what of it is kept."""
    for each in account.entries:
        lacks = each.asked - each.drawn
        yield ThrusterRow(account.element, each.phase, each.item, each.drawn, lacks, each.basis)
    yield ThrusterRow(account.element, "at the end", "left", account.left, 0.0, "usable")
    kept, basis = account.reserve, "reserve of [thruster_budget]"
    yield ThrusterRow(account.element, "at the end", "of it reserved", kept, 0.0, basis)
    if account.margins:
        kept, basis = account.margins, "[margins], for burns from the same tanks"
        yield ThrusterRow(account.element, "at the end", "of it for margins", kept, 0.0, basis)


COLUMNS = (
    Column("element", lambda row: plain(row.element)),
    Column("phase", lambda row: row.phase),
    Column("item", lambda row: row.item),
    Column("propellant [kg]", lambda row: row.drawn, 2),
    Column("short by [kg]", lambda row: row.short or None, 2),
    Column("basis", lambda row: row.basis),
)


def lines(plan: Plan) -> list[str]:
    """Return one line for each element whose thrusters do more than settle and burn."""
    return [_line(each) for each in accounts(plan.flight) if each.attitude or each.lacks]


def _line(account: TankAccount) -> str:
    used = [told("about {:.0 kg} attitude and docking", account.attitude)]
    used += [told("{:.0(kg)} {}", account.of(x), x) for x in (SETTLING, BURNS) if account.of(x)]
    spare = account.spare
    end = told("{:.0(kg)} spare", spare) if spare >= 0.0 else f"{amount(-spare)} lacking"
    kept = told("{:.0(kg)} kept, {}", account.reserve, end)
    return told("thrusters, {}: {}; {}", plain(account.element), joined(", ", used), kept)
