"""A plan with what a glance at its ways out sees: apart from `plan`, whose start it would slow."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from mplan.checks import ways_out
from mplan.contingencies.ways_out.glance import glance, places, seen_closed
from mplan.contingencies.ways_out.looks import WaysLook, look
from mplan.flight.record import Flight
from mplan.plan import Plan, with_ways_out
from mplan.process import beside


def begin(flight: Flight) -> Callable[[], tuple[WaysLook, ...]]:
    """Begin a glance in a copy of this process; what is returned ends it, and returns its looks."""
    return beside.begin(partial(look, flight), places(flight))


def glanced(plan: Plan, looks: Sequence[WaysLook] | None = None) -> Plan:
    """Return a plan with what a glance at its ways out sees closed among its findings.

    `looks` are those of a glance that was taken before; some tenths of a second without them.
    """
    seen = seen_closed(glance(plan.flight) if looks is None else looks)
    return with_ways_out(plan, ways_out.findings(seen, plan.scenario))
