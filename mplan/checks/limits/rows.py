"""Every figure of a flight beside its limit, and the tightest of each kind."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from mplan.checks.limits import docking, engines, propellant, provisions, steering
from mplan.checks.limits.row import KINDS, LimitRow
from mplan.flight.record import Flight

__all__ = ["KINDS", "LimitRow", "of", "tightest"]


def of(flight: Flight) -> tuple[LimitRow, ...]:
    """Return every figure, kind by kind and in flight order."""
    found = [
        *engines.rows(flight),
        *docking.rows(flight),
        *provisions.rows(flight),
        *steering.rows(flight),
        *propellant.rows(flight),
        *engines.costs(flight.scenario),
    ]
    return tuple(sorted(found, key=lambda row: KINDS.index(row.kind)))


def tightest(found: Sequence[LimitRow]) -> tuple[LimitRow, ...]:
    """Return one row a kind: of supplies and energy the one that lasts least, else the tightest.

    An engine that burns once because it can is no news: engines that restart stand before it.
    """
    best: dict[str, LimitRow] = {}
    for row in found:
        if row.kind not in best or _closeness(row) > _closeness(best[row.kind]):
            best[row.kind] = row
    return tuple(best.values())


def _closeness(row: LimitRow) -> tuple[float, float]:
    """Return what grows as a row comes nearer to its limit."""
    if row.kind == "starts" and row.limit == row.used == 1:
        return -inf, 0.0
    if row.days_left is not None:
        return -row.days_left, row.tightness
    return (-inf if row.kind in ("supply", "storage for waste") else 0.0), row.tightness
