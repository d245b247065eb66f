"""The front door of workbook 03, the way home: what its cells show."""

from __future__ import annotations

from mplan.show.homeward.panel import panel
from mplan.show.homeward.pictures import costs, splashes
from mplan.show.homeward.tables import choices, corrections, figures, published, splash_latitudes

__all__ = [
    "choices",
    "corrections",
    "costs",
    "figures",
    "panel",
    "published",
    "splash_latitudes",
    "splashes",
]
