"""What cells show: the readiness sheet as a table, and the cards."""

from __future__ import annotations

from mplan.glancing import glanced
from mplan.plan import Plan
from mplan.show.columns import clock
from mplan.show.notebook import Table, Words
from mplan.show.readiness import card_html, rows
from mplan.show.readiness.page import parts
from mplan.show.tables import framed
from mplan.studies import cards as cards_of


def sheet(plan: Plan) -> Table:
    """Return every limit, margin, counter, decision and date with its state in words and mark.

    Ways out are among the decisions as a glance sees them.
    """
    found = rows.every_row(glanced(plan))
    table = Table(framed(rows.COLUMNS, found))
    # A table a part: one of all, its columns as wide as the longest text, is several times as much.
    table.html, table.text = parts(found), rows.summary(found)
    return table


def cards(plan: Plan) -> Words:
    """Return the card of each burn and event; some seconds, as ways out are flown for them."""
    found = tuple(cards_of.of(plan))
    text = "\n".join(f"{x.number} {clock(x.elapsed)} {card_html.title(x)}" for x in found)
    return Words(card_html.every(found, plan.flight), text)
