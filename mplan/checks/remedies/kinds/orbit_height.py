"""What would keep the ship's perilune up while it waits in lunar orbit: a higher orbit."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from mplan.checks import lunar_orbit
from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import BurnEvent, Scenario
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain

ROOM = (1.1, 1.5, 2.5)  # times as far as it sinks now: higher up it sinks more slowly
STEP = 1e3  # m
BAND = 20e3  # m below the planned perilune, at which it is restored (common practice, no source)


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Propose lunar orbits that leave room for the perilune to sink, and a capture above them.

    For a ship that waits, burns that keep its orbit up.
    """
    if flight.scenario.ship:
        yield from _kept(flight.scenario)
        return
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


def _kept(view: Scenario) -> Iterator[Proposal]:
    """Propose orbit upkeep by the thrusters, then the main engine, of what burned last."""
    height = stated(view.orbits.lunar_altitude, "orbits.lunar_altitude")
    last = [event.element for event in view.events if isinstance(event, BurnEvent)][-1]
    engines = view.elements[last].engines
    if height - BAND < lunar_orbit.SAFE:
        return
    for purpose in ("thrusters", "main"):
        engine = next((key for key, x in engines.items() if x.purpose == purpose), None)
        if engine is not None:
            lowest = f"{(height - BAND) / 1e3:g} km"
            table = {"element": last, "engine": engine, "lowest_perilune": lowest}
            said = f"orbit upkeep by {plain(engine)} of the {plain(last)}"
            yield Proposal(f"{said} at a perilune of {lowest}", {"orbit_upkeep": table})
