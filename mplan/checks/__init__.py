"""Questions asked of a flown plan, one file per kind of question; each answers with findings."""

from __future__ import annotations

from mplan.checks import burns, duration, engines, light, pad, recovery, supplies, thrust
from mplan.checks.finding import Finding, Severity
from mplan.flight.record import Flight

__all__ = ["Finding", "Severity", "of"]


def of(flight: Flight) -> tuple[Finding, ...]:
    """Return every finding on a flight, the gravest first and then in flight order."""
    found = [
        finding
        for check in (pad, thrust, burns, engines, supplies, duration, light, recovery)
        for finding in check.findings(flight)
    ]
    return tuple(sorted(found, key=lambda finding: finding.rank))
