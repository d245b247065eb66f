"""Does the earlier mission close that left a ship which this one takes up?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario.figures import Figures
from mplan.scenario.wording import plain


def findings(name: str, mission: Flight, found: Sequence[Finding]) -> Iterator[Finding]:
    """Yield a finding where what was `found` on the mission that left a ship stops it."""
    stops = [x for x in found if x.rank == 0]
    if not stops:
        return
    scenario = mission.scenario
    more = f" (and {len(stops) - 1} more)" if len(stops) > 1 else ""
    yield Finding(
        severity="stops the flight",
        check="earlier mission",
        event=name,
        text=f"{scenario.mission.name}, which leaves the {plain(name)}, does not close: "
        f"{stops[0].text}{more}",
        figures=Figures("a mission that closes", f"{len(stops)} that stop it"),
        basis=f"ships.{name}.left_by, flown",
    )
