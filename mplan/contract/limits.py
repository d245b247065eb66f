"""Figures of the flight beside their limits."""

from __future__ import annotations

from mplan.checks.limits import LimitRow, of
from mplan.contract.values import Document
from mplan.plan import Plan


def limits(plan: Plan) -> list[Document]:
    """Return every figure with its limit."""
    return [limit(row) for row in of(plan.flight)]


def limit(row: LimitRow) -> Document:
    """Return a figure with its limit; null is not stated, or not worked out."""
    return {
        "kind": row.kind,
        "of": row.name,
        "used": row.used,
        "limit": row.limit,
        "unit": row.unit or None,
        "at_least": row.least,
        "left": row.left,
        "days_left_at_end": row.days_left,
        "note": row.note or None,
    }
