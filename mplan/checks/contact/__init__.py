"""Who on Earth sees the mission, when, and which burns and events nobody sees.

Geometry alone: what a radio link carries over that distance is not examined, nor any relay.
"""

from mplan.checks.contact.landing_seen import findings
from mplan.checks.contact.log import ContactLog, Sighted, Silence, StationPass, of

__all__ = ["ContactLog", "Sighted", "Silence", "StationPass", "findings", "of"]
