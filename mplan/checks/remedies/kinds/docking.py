"""What would let a port dock as often as the mission asks: one that is qualified for it."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.counters import joints
from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario.wording import plain


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Propose a port qualified for the dockings flown; what it weighs and costs is not known."""
    (element,) = finding.subject
    done = joints.dockings_of(flight, element)
    said = f"a docking port of the {plain(element)} qualified for {done} dockings"
    yield Proposal(said, {f"elements.{element}.docking_cycles": done}, "mass: not counted")
