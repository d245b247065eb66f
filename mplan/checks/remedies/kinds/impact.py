"""What would bring dropped elements down on the sea: other launch azimuths within the limits."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.physics.constants import DEG

SHARES = (0.0, 0.33, 0.67, 1.0)  # of the range of azimuths


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield azimuths over the range that range safety allows."""
    site = flight.scenario.launch_site
    for share in SHARES:
        azimuth = site.azimuth_min + share * (site.azimuth_max - site.azimuth_min)
        if abs(azimuth - site.azimuth) > 0.5 * DEG:
            said = f"a launch azimuth of {azimuth / DEG:.1f} deg"
            yield Proposal(said, {"launch_site.azimuth": f"{azimuth / DEG:.1f} deg"})
