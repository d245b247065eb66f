"""Does the mission end within what crew and hardware are rated for?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import DAY
from mplan.scenario.figures import amount, at_most


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding when the mission lasts longer than allowed."""
    lasts, longest = flight.duration / DAY, flight.scenario.mission.longest_duration / DAY
    if lasts > longest:
        text = f"the mission lasts {amount(lasts - longest)} d longer than its limit"
        figures, basis = at_most(longest, lasts, "d"), "mission.longest_duration"
        yield Finding("stops the flight", "duration", "splash", text, figures, basis)
