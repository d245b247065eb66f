"""The tables of what people live on, as a workbook shows them."""

from __future__ import annotations

from mplan.checks import living
from mplan.plan import Plan
from mplan.show.living import rows
from mplan.show.notebook import Table
from mplan.show.reached import asks_splash
from mplan.show.tables import framed


@asks_splash
def activities(plan: Plan) -> Table:
    """Return who lives where, event by event, and what that takes."""
    return Table(framed(rows.ACTIVITIES, living.activities(plan.flight)), rows.NOBODY)


@asks_splash
def outlook(plan: Plan) -> Table:
    """Return what runs out first in every cabin, how long after the plan, and when."""
    return Table(framed(rows.OUTLOOK, living.outlooks(plan.flight)), rows.NOBODY)
