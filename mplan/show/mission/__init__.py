"""The front door of workbook 01, the whole mission: what its cells show."""

from __future__ import annotations

from mplan.show.mission.panel import panel
from mplan.show.mission.pictures import budget_bars, timeline, trajectory
from mplan.show.mission.tables import (
    assumptions,
    budget,
    elements,
    events,
    power,
    published,
    stores,
    supplies,
    thrusters,
)

__all__ = [
    "assumptions",
    "budget",
    "budget_bars",
    "elements",
    "events",
    "panel",
    "power",
    "published",
    "stores",
    "supplies",
    "thrusters",
    "timeline",
    "trajectory",
]
