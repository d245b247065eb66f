"""What the parts of the document share."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from mplan.flight.record import Moment
from mplan.plan import Plan

Document = dict[str, Any]


def utc(moment: datetime) -> str:
    """Return an epoch as the document writes it: ISO 8601 with microseconds, UTC."""
    return moment.strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def at(plan: Plan, elapsed: float) -> str | None:
    """Return the epoch of a time since lift-off, null where the date of lift-off is not known."""
    return utc(plan.flight.utc(elapsed)) if plan.flight.dated else None


def told(plan: Plan, moment: Moment) -> Document:
    """Return an event as it went: when, with what mass, with what attached."""
    return {
        "event": moment.event,
        "utc": at(plan, moment.elapsed),
        "elapsed_s": moment.elapsed,
        "mass_kg": moment.mass,
        "attached": list(moment.craft),
        "estimate": moment.estimate,
    }
