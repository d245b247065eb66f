"""What would let a transfer of propellant take place: the amount that can move, less settling."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import TransferPropellantEvent

SHARE = 0.5  # of the settling acceleration that is asked for


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes of the transfer's own keys; more propellant is the planner's choice."""
    for index, event in enumerate(flight.scenario.events):
        if not isinstance(event, TransferPropellantEvent) or event.title != finding.event:
            continue
        if event.amount is not None:
            said = "as much as there is and finds room"
            yield Proposal(said, {f"events.{index}.amount": None})
        asked = event.settling_acceleration
        if asked is not None:
            less = f"{SHARE * asked:.6f} m/s2"
            yield Proposal(f"settled by {less}", {f"events.{index}.settling_acceleration": less})
