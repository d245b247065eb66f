"""The least amount of a change that helps: flown with the climb kept, or held against a check."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from math import ceil
from typing import NamedTuple, Protocol

from mplan.checks.finding import Finding, own
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import Scenario, ScenarioError

SEARCHES = 6  # steps of a search, each a flight
NEAR = 0.02  # of the range, that a search stops within
# Checks whose text says after a colon why, which differs with the figures.
REASONED = ("delta-v", "escape", "landing", "recovery", "rendezvous")


class Check(Protocol):
    """A module of checks."""

    def findings(self, flight: Flight) -> Iterator[Finding]:
        """Yield what it finds."""


class Amount(NamedTuple):
    """A change by an amount: up to how much, in what steps, and the proposal of so much."""

    most: float
    step: float
    of: Callable[[float], Proposal]


def kind(finding: Finding) -> tuple[str, ...]:
    """Return what two findings share that say the same with other figures."""
    text = own(finding).text if finding.ship else finding.text
    text = text.partition(":")[0] if finding.check in REASONED else text
    words = re.sub(r"[-\d.,]+", "#", text.removesuffix(" of margin"))
    return finding.ship, finding.check, finding.event, *finding.subject, words


def told(finding: Finding, found: Iterable[Finding]) -> bool:
    """Tell whether the same is found again, and is as grave."""
    return any(kind(x) == kind(finding) and x.rank <= finding.rank for x in found)


def ends(finding: Finding, flight: Flight, scenario: Scenario, *checks: Check) -> bool:
    """Tell whether nothing of the kind is found in a flight that stays as it is otherwise."""
    again = replace(flight, scenario=scenario)
    return not any(told(finding, check.findings(again)) for check in checks)


def first(
    finding: Finding, flight: Flight, check: Check, proposals: Iterable[Proposal]
) -> Iterator[Proposal]:
    """Yield the first of the proposals that ends a finding without another flight."""
    for each in proposals:
        try:
            scenario = each.of(flight.scenario)
        except ScenarioError:
            continue  # beyond what a scenario may state
        if ends(finding, flight, scenario, check):
            yield each
            return


def least(
    flight: Flight, trials: Trials, amount: Amount, measure: Callable[[Flight], float]
) -> Iterator[Proposal]:
    """Yield the least amount with a `measure` of zero or more, rounded up to its step; or none.

    By false position where the measure is smooth, by halving where it tells yes and no by its
    sign alone.
    """

    def at(value: float) -> float:
        try:
            after = trials.fly(amount.of(value).of(flight.scenario), flight)
        except ScenarioError:
            return -1.0
        return -1.0 if after is None else measure(after)

    low, high = 0.0, amount.most
    below, above = measure(flight), at(high)
    if above < 0.0:
        return
    for _ in range(SEARCHES):
        if high - low <= max(amount.step, NEAR * amount.most * (above > 1.0)):
            break
        share = below / (below - above) if below < 0.0 else 0.0
        guess = low + (high - low) * min(0.9, max(0.05, 1.03 * share))
        found = at(guess)
        if found < 0.0:
            low, below = guess, found
        else:
            high, above = guess, found
    yield amount.of(rounded_up(high, amount.step))


def sign(good: bool) -> float:
    """Return a measure that says yes and no alone."""
    return 1.0 if good else -1.0


def rounded_up(value: float, step: float) -> float:
    """Return the next whole number of steps, a last-digit excess apart."""
    return ceil(value / step - 1e-6) * step


def steps(begin: float, step: float, end: float) -> list[float]:
    """Return amounts from `begin` to `end`, evenly apart."""
    return [begin + i * step for i in range(int((end - begin) / step + 1e-9) + 1)]
