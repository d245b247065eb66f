"""The tables of electric energy and heat, as a workbook shows them."""

from __future__ import annotations

from mplan.checks import power_and_heat
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show.notebook import Table, Words, sentence, together
from mplan.show.power_and_heat import rows
from mplan.show.reached import asks_splash
from mplan.show.tables import framed


@asks_splash
def loads(plan: Plan) -> Table:
    """Return loads by phase and element, with the supply that is the element's own."""
    return Table(framed(rows.LOADS, power_and_heat.load_rows(plan.flight)), rows.NOTHING_STORED)


@asks_splash
def charges(plan: Plan) -> Table:
    """Return the least that every store holds, when, and what it may fall to."""
    found = power_and_heat.charge_curves(plan.flight)
    return Table(framed(rows.CHARGES, found), rows.NOTHING_STORED)


@asks_splash
def heat(plan: Plan) -> Words:
    """Return what radiators reject against what is to be rejected, by cabin and phase."""
    found = power_and_heat.heat_balances(plan.flight)
    table = Table(framed(rows.HEAT, found), rows.NO_RADIATORS)
    left = power_and_heat.without_radiators(plan.flight)
    if not found or not left:
        return table
    names = ", ".join(map(plain, left))
    return together(table, sentence(f"Not examined, as no radiators are stated: {names}."))
