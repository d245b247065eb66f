"""Who on Earth sees the mission and when, which burns nobody sees, and what radio links leave."""

from collections.abc import Iterator

from mplan.checks.contact import landing_seen, link_margins, links, relay_orbits
from mplan.checks.contact.links import LinkCurve
from mplan.checks.contact.log import ContactLog, Sighted, Silence, StationPass, of
from mplan.checks.finding import Finding
from mplan.flight.record import Flight

__all__ = [
    "ContactLog",
    "LinkCurve",
    "Sighted",
    "Silence",
    "StationPass",
    "findings",
    "links",
    "of",
]


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield what is to decide about contact: of the landing, radio links and relays."""
    yield from landing_seen.findings(flight)
    yield from link_margins.findings(flight)
    yield from relay_orbits.findings(flight)
