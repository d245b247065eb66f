"""Where an element is at any time of a flight: its way, stretch by stretch, as it was flown."""

from mplan.flight.whereabouts.relays import relay_places
from mplan.flight.whereabouts.way import Way, WayStretch, of

__all__ = ["Way", "WayStretch", "of", "relay_places"]
