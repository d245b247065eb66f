"""What would give thrusters the propellant they lack: more in their tanks."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks import thrusters
from mplan.checks.finding import Finding
from mplan.checks.remedies.kinds.delta_v import of_engine
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import least
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield the least propellant with which nothing lacks and the reserve is kept."""
    if not finding.subject:  # nothing is drawn: nothing lacks
        return
    element, engine = finding.subject
    amount = of_engine(flight.scenario, element, engine)
    if amount is not None:
        yield from least(flight, trials, amount, lambda after: _spare(after, element))


def _spare(flight: Flight, element: str) -> float:
    """Return what thrusters of an element have beyond all they are asked for [kg]."""
    found = (x for x in thrusters.accounts(flight) if x.element == element)
    return min((x.spare - x.lacks for x in found), default=-1e9)
