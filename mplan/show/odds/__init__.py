"""What cells and commands show of odds: tables, charts, a document."""

from __future__ import annotations

from mplan.show.odds.document import document
from mplan.show.odds.driver_bars import drivers
from mplan.show.odds.probability_bars import probabilities
from mplan.show.odds.tables import burns, driven, limits, tanks, verdict, why_not

__all__ = [
    "burns",
    "document",
    "driven",
    "drivers",
    "limits",
    "probabilities",
    "tanks",
    "verdict",
    "why_not",
]
