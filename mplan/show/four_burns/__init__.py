"""The front door of workbook 00, four burns: what its cells show."""

from __future__ import annotations

from mplan.show.four_burns.panel import panel
from mplan.show.four_burns.tables import beside, budget, published, timeline

__all__ = ["beside", "budget", "panel", "published", "timeline"]
