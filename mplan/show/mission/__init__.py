"""The front door of workbook 01, the whole mission: what its cells show."""

from __future__ import annotations

from mplan.show.mission.compared import compared
from mplan.show.mission.panel import panel
from mplan.show.mission.pictures import budget_bars, contact, link_margins, timeline, trajectory
from mplan.show.mission.remedied import flown
from mplan.show.mission.tables import (
    assumptions,
    budget,
    crew_transfers,
    dockings,
    elements,
    events,
    jettisons,
    power,
    published,
    radio_links,
    seen,
    silences,
    starts,
    stores,
    supplies,
    thruster_tanks,
    thrusters,
)

__all__ = [
    "assumptions",
    "budget",
    "budget_bars",
    "compared",
    "contact",
    "crew_transfers",
    "dockings",
    "elements",
    "events",
    "flown",
    "jettisons",
    "link_margins",
    "panel",
    "power",
    "published",
    "radio_links",
    "seen",
    "silences",
    "starts",
    "stores",
    "supplies",
    "thruster_tanks",
    "thrusters",
    "timeline",
    "trajectory",
]
