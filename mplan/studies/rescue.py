"""Every way of the ship to an ascent stage that was left on its way up."""

from __future__ import annotations

from mplan.flight import rescue
from mplan.flight.rescue import Rescue
from mplan.plan import Plan


def ways(plan: Plan) -> list[Rescue]:
    """Return the ways, in the order of the places; none where a mission has no rendezvous."""
    flown = plan.flight.end.rendezvous
    if flown is None:
        return []
    return [way for place in rescue.strandings(flown) for way in rescue.ways(plan.flight, place)]
