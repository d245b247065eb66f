"""What cells and commands show of sensitivities: tables, a tornado chart, a document."""

from __future__ import annotations

from mplan.show.sensitivities.document import document
from mplan.show.sensitivities.tables import exchange, felt, jumps, margins, rooms
from mplan.show.sensitivities.tornado import tornado

__all__ = ["document", "exchange", "felt", "jumps", "margins", "rooms", "tornado"]
