"""The front door of workbook 09, what to change: what its cells show, and the studies it runs."""

from __future__ import annotations

from mplan.show.to_change.panel import chances, exchange, remedies, sensitivities, sized, traded
from mplan.show.to_change.pictures import findings

__all__ = ["chances", "exchange", "findings", "remedies", "sensitivities", "sized", "traded"]
