"""A finding on a ship launched on its own, as that ship sees it, so that remedies are found alike.

What helps is proposed by the ship's own flight, or by its wait. Amounts are searched with the ship
alone until it is met, and with the whole mission where its wait is short of something. What is
shown was flown as the whole mission in any case.
"""

from __future__ import annotations

from typing import NamedTuple

from mplan import checks
from mplan.checks.finding import Finding, own
from mplan.checks.remedies.search import told
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import Scenario


class Seen(NamedTuple):
    """A finding, the flight that it is about, and where changes of it are tried."""

    finding: Finding
    flight: Flight
    trials: Trials


class TrialsOfWait(Trials):
    """What is tried for a ship that waits: the whole mission is flown, its wait is told."""

    def __init__(self, whole: Trials, flight: Flight, name: str) -> None:
        """Fly within what `whole` may still fly, steered as the mission's `flight`."""
        super().__init__()
        self._whole, self._like, self._name = whole, flight, name

    def fly(self, scenario: Scenario, like: Flight | None = None) -> Flight | None:
        """Return the wait in the mission that a ship's view belongs to."""
        flown = self._whole.fly(mission(scenario), self._like)
        return flown.waits.get(self._name) if flown else None


def mission(scenario: Scenario) -> Scenario:
    """Return the mission that a view is of; any other scenario is one itself."""
    return scenario.main or scenario


def seen(finding: Finding, flight: Flight, trials: Trials) -> Seen | None:
    """Return a finding with the flight that it is about; None where no flight tells it.

    None, too, of a ship that an earlier mission left: its scenario is not changed from here.
    """
    if not finding.ship:
        return Seen(finding, flight, trials)
    if finding.ship in flight.left:
        return None
    said, alone = own(finding), flight.others.get(finding.ship)
    if alone is not None and told(said, checks.of(alone)):
        return Seen(said, alone, trials)
    wait = flight.waits.get(finding.ship)
    return None if wait is None else Seen(said, wait, TrialsOfWait(trials, flight, finding.ship))
