"""The front door of workbook 07, entry and landing on Earth: what its cells show."""

from __future__ import annotations

from mplan.show.air.panel import panel
from mplan.show.air.pictures import bank, corridor, heating, loads, parachutes
from mplan.show.air.tables import descents, edges, figures, published, reach, track

__all__ = [
    "bank",
    "corridor",
    "descents",
    "edges",
    "figures",
    "heating",
    "loads",
    "panel",
    "parachutes",
    "published",
    "reach",
    "track",
]
