"""Ready to launch: every limit, margin, counter, decision and date with its state; event cards.

Cells call `sheet(plan)` and `cards(plan)`; `page` is the whole to print.
"""

from mplan.show.readiness.cells import cards, sheet
from mplan.show.readiness.page import page
from mplan.show.readiness.rows import COLUMNS, ReadinessRow, every_row, summary

__all__ = ["COLUMNS", "ReadinessRow", "cards", "every_row", "page", "sheet", "summary"]
