"""What would bring the ascent stage to the ship, or the ship to it."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from mplan.checks import rendezvous
from mplan.checks.finding import Finding
from mplan.checks.remedies.kinds.delta_v import of_propellant
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import least, sign, told
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import heights


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Propose the lift-off that the schedule requires, and the other schedule."""
    scenario = flight.scenario
    if scenario.lunar_ascent.after_pass is not None:
        said = "lift-off at the time the rendezvous requires"
        yield Proposal(said, {"lunar_ascent.after_pass": None})
    other = "direct" if scenario.rendezvous.schedule == "coelliptic" else "coelliptic"
    yield Proposal(f"a {other} rendezvous", {"rendezvous.schedule": other})
    later = scenario.rendezvous.revolutions + 1
    if scenario.rendezvous.schedule == "coelliptic":
        said = f"a coelliptic schedule that begins at apolune {later}"
        yield Proposal(said, {"rendezvous.revolutions": later})


def higher(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Propose an ascent orbit as much higher as its rendezvous comes too low."""
    orbits, site = flight.scenario.orbits, flight.scenario.landing_site
    if orbits.ascent_perilune is None or site is None:
        return
    clear = heights.ground(flight.scenario) + flight.scenario.descent.terrain_margin
    least_height = clear - heights.level(flight.scenario)
    for extra in (500.0, 3000.0):
        perilune = ceil((least_height + extra) / 100.0) * 100.0
        if perilune > orbits.ascent_perilune:
            above = heights.counted_from(flight.scenario)
            said = f"an ascent orbit with its perilune {perilune / 1e3:.1f} km above {above}"
            yield Proposal(said, {"orbits.ascent_perilune": f"{perilune / 1e3} km"})
    yield from proposals(finding, flight, trials)


def rescued(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Propose propellant for the ship that rescues, then the schedules it could fly."""
    ship = finding.subject[0]
    amount = of_propellant(flight.scenario, ship)
    yield from least(
        flight, trials, amount, lambda after: sign(not told(finding, rendezvous.findings(after)))
    )
    yield from proposals(finding, flight, trials)
