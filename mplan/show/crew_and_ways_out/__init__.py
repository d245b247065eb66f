"""The front door of workbook 10, the crew and its ways out: what cells and commands show."""

from __future__ import annotations

from mplan.show.crew_and_ways_out.document import document
from mplan.show.crew_and_ways_out.flown import coverage, mended, then, then_about_moon, then_ways
from mplan.show.crew_and_ways_out.panel import panel
from mplan.show.crew_and_ways_out.pictures import bands, way_about_moon, way_home
from mplan.show.crew_and_ways_out.tables import gaps, spans, ways
from mplan.show.crew_and_ways_out.words import line, told

__all__ = [
    "bands",
    "coverage",
    "document",
    "gaps",
    "line",
    "mended",
    "panel",
    "spans",
    "then",
    "then_about_moon",
    "then_ways",
    "told",
    "way_about_moon",
    "way_home",
    "ways",
]
