"""A change of the scenario that may help, before it is flown."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario import Scenario

if TYPE_CHECKING:
    from mplan.checks.remedies.trials import Trials


class Proposal(NamedTuple):
    """A change in words, and the keys that it changes with their values.

    `basis` says what masses or prices rest on that the scenario does not state.
    """

    change: str
    values: Mapping[str, Any]
    basis: str = ""

    def of(self, scenario: Scenario) -> Scenario:
        """Return the changed scenario; raises ScenarioError where it would not do."""
        return scenario.change(self.values)


Proposals = Callable[[Finding, Flight, "Trials"], Iterator[Proposal]]
