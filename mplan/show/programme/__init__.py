"""The front door of workbook 08, the programme: what its cells, and `mplan programme`, show."""

from __future__ import annotations

from mplan.show.programme.decisions import design, learning, missed, slower
from mplan.show.programme.document import document
from mplan.show.programme.export import icalendar_text
from mplan.show.programme.panel import panel
from mplan.show.programme.pictures import missions, resources, spending
from mplan.show.programme.progress import ProgressLine, scheduled
from mplan.show.programme.tables import (
    cautions,
    clashes,
    critical_path,
    dates,
    launches,
    made_from,
    money,
    remedies,
    verdict,
    windows,
    work,
)

__all__ = [
    "ProgressLine",
    "cautions",
    "clashes",
    "critical_path",
    "dates",
    "design",
    "document",
    "icalendar_text",
    "launches",
    "learning",
    "made_from",
    "missed",
    "missions",
    "money",
    "panel",
    "remedies",
    "resources",
    "scheduled",
    "slower",
    "spending",
    "verdict",
    "windows",
    "work",
]
