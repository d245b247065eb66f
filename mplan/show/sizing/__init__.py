"""What cells and commands show of a sizing: tables, a picture, a document, the scenario's file."""

from __future__ import annotations

from mplan.show.sizing.changed import changed
from mplan.show.sizing.document import document, schema
from mplan.show.sizing.scenario_file import head, notes
from mplan.show.sizing.tables import figures, keys, limits, searched

__all__ = [
    "changed",
    "document",
    "figures",
    "head",
    "keys",
    "limits",
    "notes",
    "schema",
    "searched",
]
