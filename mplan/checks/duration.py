"""Does the mission end within what crew and hardware are rated for?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import DAY


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding when the mission lasts longer than allowed."""
    lasts, longest = flight.duration / DAY, flight.scenario.mission.longest_duration / DAY
    if lasts > longest:
        yield Finding(
            severity="stops the flight",
            check="duration",
            event="splash",
            text=f"the mission lasts {lasts - longest:.1f} d longer than it may",
            limit=f"{longest:.1f} d at most",
            found=f"{lasts:.1f} d",
            basis="mission.longest_duration",
        )
