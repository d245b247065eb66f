"""What the parts of the document share."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from mplan.plan import Plan

Document = dict[str, Any]


def utc(moment: datetime) -> str:
    """Return an epoch as the document writes it: ISO 8601 with microseconds, UTC."""
    return moment.strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def at(plan: Plan, elapsed: float) -> str | None:
    """Return the epoch of a time since lift-off, null where the date of lift-off is not known."""
    return utc(plan.flight.utc(elapsed)) if plan.flight.dated else None
