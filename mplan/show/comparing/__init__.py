"""Two plans side by side, as tables, in words and as a document."""

from __future__ import annotations

from mplan.show.comparing.document import document
from mplan.show.comparing.margin_marks import margins
from mplan.show.comparing.tables import everything
from mplan.show.comparing.words import told

__all__ = ["document", "everything", "margins", "told"]
