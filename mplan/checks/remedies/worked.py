"""Findings with what would help: changes of the scenario, each flown again before it is shown.

A change that closes nothing is shown too where it ends its finding: what then stops the plan is
the answer. Where no single change closes it, the pairs of the best ones with what helps against
what they leave are flown. Amounts are searched with the climb steered as that of the plan itself,
which is quick; what is shown was steered for itself, with the rounded amount that is written.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import islice
from typing import NamedTuple

from mplan import checks
from mplan.checks.finding import Finding, Remedy
from mplan.checks.remedies import of_ships, price
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import kind, told
from mplan.checks.remedies.table import PROPOSALS, nothing
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.scenario import Scenario, ScenarioError
from mplan.scenario.wording import plain

SHOWN = 4  # changes of one finding, those that close the plan first
OF_SHIPS = ("lunar orbit",)  # checks that ask decisions on ships for which there are remedies
PAIRED = 2  # best single changes from which pairs are made


class _Failed(NamedTuple):
    """A proposal that did not end its finding, or did not fly, and why."""

    change: str
    why: str


class _Tried(NamedTuple):
    """A proposal that was flown and ended its finding, and what is then found."""

    change: str
    bases: tuple[str, ...]
    after: Flight
    found: tuple[Finding, ...]

    @property
    def stops(self) -> list[Finding]:
        return [x for x in self.found if x.rank == 0]

    @property
    def closes(self) -> bool:
        return not (self.stops or self.after.ended)

    @property
    def left(self) -> str:
        """What stops the plan with this change; "" if nothing does."""
        if self.stops:
            return self.stops[0].text
        return self.after.ended.text if self.after.ended else ""

    @property
    def order(self) -> tuple[bool, int]:
        return not self.closes, len(self.found)


def for_findings(
    flight: Flight,
    found: tuple[Finding, ...],
    *,
    done: Callable[[int, int], None] = lambda done, total: None,
    so_far: Callable[[Callable[[], tuple[Finding, ...]]], None] = lambda found: None,
    stopped: Callable[[], bool] = lambda: False,
) -> tuple[Finding, ...]:
    """Return the findings, causes that stop the flight or ask a decision with their remedies.

    Those that stop the flight come first, so that they are the ones a bounded number of flights
    is spent on. What closes the plan is told of every finding that stops it. `done` is told how
    many of at most how many flights are made, `so_far` is given after each finding what returns
    the findings as they are by then, `stopped` is asked whether to leave the rest.
    """
    trials, worked = Trials(done, stopped), _Worked({})
    for index, finding in enumerate(found):
        if _worked_out(finding):
            worked.of[index] = _sorted(_singles(finding, flight, trials))
            so_far(lambda: _told_of(flight, found, worked, None))
    return _told_of(flight, found, worked, trials)


class _Worked(NamedTuple):
    """What was tried for findings, by their places: what ended each, and what did not."""

    of: dict[int, tuple[list[_Tried], list[_Failed]]]

    @property
    def closing(self) -> list[_Tried]:
        return [x for ended, _ in self.of.values() for x in ended if x.closes]


def _told_of(
    flight: Flight, found: tuple[Finding, ...], worked: _Worked, trials: Trials | None
) -> tuple[Finding, ...]:
    """Return findings with what ended them; with `trials`, pairs are flown, and lacks are told."""
    return tuple(
        _with_remedies(finding, flight, *worked.of[index], worked.closing, trials)
        if index in worked.of
        else finding
        for index, finding in enumerate(found)
    )


def _worked_out(finding: Finding) -> bool:
    """Tell whether remedies are looked for: for decisions on other ships, of some checks alone."""
    asked = not finding.ship or finding.check in OF_SHIPS
    return not finding.cause and (finding.rank == 0 or (finding.rank == 1 and asked))


def _with_remedies(
    finding: Finding,
    flight: Flight,
    ended: list[_Tried],
    failed: list[_Failed],
    closing: list[_Tried],
    trials: Trials | None,
) -> Finding:
    shown = ended[:SHOWN]
    if finding.rank == 0 and not any(x.closes for x in shown):
        pairs = _pairs(finding, ended[:PAIRED], trials) if trials else iter(())
        shown = [*(closing[:1] or list(islice(pairs, 1))), *shown]
    return replace(
        finding,
        remedies=tuple(_remedy(flight, x) for x in shown),
        unsolved=_unsolved(finding, shown, failed, trials) if trials else "",
    )


def _remedy(flight: Flight, tried: _Tried) -> Remedy:
    more = None if tried.after.ended else price.lift_off(flight, tried.after)
    return Remedy(tried.change, tried.closes, _outcome(flight, tried), more)


def _sorted(trials: Iterable[_Tried | _Failed]) -> tuple[list[_Tried], list[_Failed]]:
    """Return what ended its finding, the best first, and what did not."""
    every = list(trials)
    ended = [x for x in every if isinstance(x, _Tried)]
    return sorted(ended, key=lambda x: x.order), [x for x in every if isinstance(x, _Failed)]


def _singles(finding: Finding, flight: Flight, trials: Trials) -> Iterator[_Tried | _Failed]:
    """Yield the proposals for a finding, flown as the whole mission."""
    seen = of_ships.seen(finding, flight, trials)
    if seen is None:
        return
    for proposal in PROPOSALS.get(finding.check, nothing)(*seen):
        yield _flown(finding, proposal, seen.flight.scenario, trials)


def _flown(
    finding: Finding, proposal: Proposal, scenario: Scenario, trials: Trials
) -> _Tried | _Failed:
    """Return a proposal flown, or why the scenario cannot be changed so or does not fly."""
    said = f"{plain(finding.ship)}: {proposal.change}" if finding.ship else proposal.change
    try:
        changed = of_ships.mission(proposal.of(scenario))
    except ScenarioError as refused:
        return _Failed(said, f"cannot be: {refused.problems[0].text}")
    after = trials.fly(changed)
    if after is None:
        return _Failed(said, f"does not fly: {trials.why(changed) or trials.why_no_more}")
    found = checks.of(after)
    same = next((x for x in found if kind(x) == kind(finding) and x.rank <= finding.rank), None)
    if same is not None:
        return _Failed(said, f"still {same.found}, limit {same.limit}")
    bases = (proposal.basis,) if proposal.basis else ()
    return _Tried(said, bases, after, found)


def _pairs(finding: Finding, best: list[_Tried], trials: Trials) -> Iterator[_Tried]:
    """Yield changes that close the plan with another one, made for what the first leaves."""
    for one in best:
        if not one.stops:
            continue
        for two in _singles(one.stops[0], one.after, trials):
            if isinstance(two, _Tried) and two.closes and not told(finding, two.found):
                change = f"{one.change}, and {two.change}"
                yield _Tried(change, (*one.bases, *two.bases), two.after, two.found)


def _outcome(before: Flight, tried: _Tried) -> str:
    """Return whether the plan then closes, what it costs, and what that rests on."""
    if tried.closes:
        decisions = sum(x.rank == 1 for x in tried.found)
        many = "decision" if decisions == 1 else "decisions"
        parts = ["closes" + (f", {decisions} {many} open" if decisions else "")]
    else:
        parts = [f"does not close: {tried.left}"]
    costs = ", ".join(price.costs(before, tried.after))
    return "; ".join([*parts, *filter(None, (costs, *dict.fromkeys(tried.bases)))])


def _unsolved(finding: Finding, shown: list[_Tried], failed: list[_Failed], trials: Trials) -> str:
    """Return what stands in the way where nothing that was tried closes the plan, else ""."""
    if any(x.closes for x in shown):
        return ""
    if trials.exhausted:
        return trials.why_no_more
    if shown:
        left = f"no single change and no pair that was tried closes the plan: {shown[0].left}"
        return "" if finding.rank else left
    if not failed:
        return "no change of the scenario is known that would end this"
    tried = "; ".join(f"{x.change} ({x.why})" for x in failed[:SHOWN])
    return f"nothing that was tried ends this: {tried}"
