"""Flights of changed scenarios: each is flown once, and no more of them than a plan is worth."""

from __future__ import annotations

from collections.abc import Callable

from mplan.flight import walk
from mplan.flight.record import Flight
from mplan.flight.unflyable import Unflyable
from mplan.scenario import Scenario, ScenarioError

MOST = 50  # flights with the climb kept, that the remedies of a plan may take: some 15 s
STEERED = 3  # of those is what a flight takes whose climb is steered anew
SPENT = "not all worked out: as many flights were tried as one plan is given"
STOPPED = "not all worked out: stopped"


class Trials:
    """What was flown for the remedies of one plan, by scenario."""

    def __init__(
        self,
        done: Callable[[int, int], None] = lambda done, total: None,
        stopped: Callable[[], bool] = lambda: False,
    ) -> None:
        """Begin with nothing flown; `done` is told of flights, `stopped` asked before each."""
        self._done, self._stopped = done, stopped
        self._flown: dict[tuple[str, bool], Flight | None] = {}
        self._why: dict[str, str] = {}
        self._spent = 0

    @property
    def exhausted(self) -> bool:
        """Whether as many flights were made as a plan is worth, or someone stopped them."""
        return self._spent >= MOST or self._stopped()

    @property
    def why_no_more(self) -> str:
        """Why what is left is not tried, in words."""
        return SPENT if self._spent >= MOST else STOPPED

    def fly(self, scenario: Scenario, like: Flight | None = None) -> Flight | None:
        """Return the flight of a scenario, its climb steered for the best or as another's.

        A ship's view is flown until that ship is met. None where it has no trajectory, or where
        all flights are used up.
        """
        steered = like is None or like.climb is None
        key = _named(scenario), steered
        if key not in self._flown:
            if self.exhausted:
                return None
            self._spent += STEERED if steered else 1
            self._flown[key] = self._walk(scenario, like)
            self._done(min(self._spent, MOST), MOST)
        return self._flown[key]

    def why(self, scenario: Scenario) -> str:
        """Return in plain words why a scenario that was tried has no flight; "" if not tried."""
        return self._why.get(_named(scenario), "")

    def _walk(self, scenario: Scenario, like: Flight | None) -> Flight | None:
        try:
            return walk.fly_view(scenario, like) if scenario.ship else walk.fly_like(scenario, like)
        except Unflyable as problem:
            self._why[_named(scenario)] = str(problem)
        except ScenarioError as problem:
            self._why[_named(scenario)] = problem.problems[0].text
        return None


def _named(scenario: Scenario) -> str:
    """Return what stands for a scenario: of a view, its mission's and the ship."""
    return f"{(scenario.main or scenario).hash}{scenario.ship}"
