"""The front door of workbook 02, the way to the Moon: what its cells show."""

from __future__ import annotations

from mplan.show.translunar.days import scanned
from mplan.show.translunar.panel import panel
from mplan.show.translunar.pictures import approach, calendar, costs, free_returns, turning
from mplan.show.translunar.second_launches import delays, passes
from mplan.show.translunar.tables import (
    corrections,
    figures,
    hybrid_arcs,
    insertions,
    published,
    revolutions,
    windows,
)

__all__ = [
    "approach",
    "calendar",
    "corrections",
    "costs",
    "delays",
    "figures",
    "free_returns",
    "hybrid_arcs",
    "insertions",
    "panel",
    "passes",
    "published",
    "revolutions",
    "scanned",
    "turning",
    "windows",
]
