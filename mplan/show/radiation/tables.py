"""The table of the dose, as a workbook shows it."""

from __future__ import annotations

from mplan.checks.radiation import doses
from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.notebook import Table, Words
from mplan.show.radiation import rows
from mplan.show.reached import asks_splash
from mplan.show.tables import framed


@asks_splash
def dose(plan: Plan) -> Words:
    """Return the dose of those who land and of those who stay, part by part, and its limit."""
    found = [(each, part) for each in doses(plan.flight) for part in each.parts]
    table = Table(framed(rows.PARTS, found), rows.NOBODY)
    said = rows.sentence(plan.flight)
    if not said:
        return table
    return notebook.together(table, notebook.sentence(f"{said[:1].upper()}{said[1:]}."))
