"""What would keep the ship's perilune up while it waits in lunar orbit: a higher orbit."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from mplan.checks import lunar_orbit
from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight

ROOM = (1.1, 1.5, 2.5)  # times as far as it sinks now: higher up it sinks more slowly
STEP = 1e3  # m


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Propose lunar orbits that leave room for the perilune to sink, and a capture above them."""
    orbits, lowest = flight.scenario.orbits, lunar_orbit.lowest(flight)
    if orbits.lunar_altitude is None:
        return
    for share in ROOM:
        height = lunar_orbit.SAFE + share * (orbits.lunar_altitude - lowest)
        height = ceil(height / STEP) * STEP
        if height > orbits.lunar_altitude:
            changes = {"orbits.lunar_altitude": f"{height / 1e3:g} km"}
            if orbits.capture_apolune is not None and orbits.capture_apolune < height:
                changes["orbits.capture_apolune"] = changes["orbits.lunar_altitude"]
            yield Proposal(f"a lunar orbit {height / 1e3:g} km up", changes)
