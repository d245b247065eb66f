"""Questions asked of a flown plan, one file per kind of question; each answers with findings."""

from __future__ import annotations

from mplan.checks import (
    boil_off,
    burns,
    causes,
    climb,
    control,
    crossfeed,
    duration,
    engines,
    entry,
    escape,
    fit,
    landing,
    light,
    pad,
    power,
    recovery,
    rendezvous,
    settling,
    supplies,
    thrust,
)
from mplan.checks.finding import Finding, Severity
from mplan.flight.record import Flight

__all__ = ["Finding", "Severity", "of"]


def of(flight: Flight) -> tuple[Finding, ...]:
    """Return every finding on a flight: the gravest first, causes before what follows from them."""
    found = [
        finding
        for check in (
            *(pad, fit, thrust, climb, burns, engines, landing, supplies, duration, light),
            *(settling, crossfeed, boil_off),
            *(recovery, rendezvous, control, escape, entry, power),
        )
        for finding in check.findings(flight)
    ]
    return tuple(sorted(causes.marked(flight, found), key=lambda x: (x.rank, bool(x.cause))))
