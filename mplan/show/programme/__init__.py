"""The front door of workbook 08, the programme: what its cells, and `mplan programme`, show."""

from __future__ import annotations

from mplan.show.programme.document import document
from mplan.show.programme.export import icalendar_text
from mplan.show.programme.panel import panel
from mplan.show.programme.pictures import missions, resources, spending
from mplan.show.programme.tables import clashes, critical_path, dates, launches, money, work

__all__ = [
    "clashes",
    "critical_path",
    "dates",
    "document",
    "icalendar_text",
    "launches",
    "missions",
    "money",
    "panel",
    "resources",
    "spending",
    "work",
]
