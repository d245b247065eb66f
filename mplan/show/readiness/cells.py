"""What cells show: the readiness sheet as a table, and the cards."""

from __future__ import annotations

from mplan.plan import Plan
from mplan.show.columns import clock
from mplan.show.notebook import Table, Words
from mplan.show.readiness import card_html, rows
from mplan.show.tables import framed
from mplan.studies import cards as cards_of


def sheet(plan: Plan) -> Table:
    """Return every limit, margin, counter, decision and date with its state in words and mark."""
    return Table(framed(rows.COLUMNS, rows.every_row(plan)))


def cards(plan: Plan) -> Words:
    """Return the card of each burn and event; some seconds, as ways out are flown for them."""
    found = tuple(cards_of.of(plan))
    text = "\n".join(f"{x.number} {clock(x.elapsed)} {card_html.title(x)}" for x in found)
    return Words(card_html.every(found, plan.flight), text)
