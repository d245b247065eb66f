"""What would close a gap in the ways out: changes flown again, each with the gap looked at anew.

A change is shown with how much of the gap it leaves and whether the plan still closes; nothing is
shown that was not flown. Climbs keep the steering of the plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice

from mplan import checks
from mplan.checks.finding import Finding, Remedy
from mplan.checks.remedies import price
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.checks.ways_out import gaps
from mplan.checks.ways_out.changes import proposals
from mplan.contingencies.ways_out import told
from mplan.contingencies.ways_out.cells import cells, looked_over
from mplan.contingencies.ways_out.coverage import WaysCoverage, WaysGap, covered
from mplan.contingencies.ways_out.point import CabinPoint, Stretch
from mplan.flight.record import Flight
from mplan.scenario import ScenarioError

MOST_GAPS = 3  # the longest ones, for which changes are flown
MOST_CHANGES = 6  # of one gap
HELPS = 0.98  # of a gap, that a change may leave and still be called a help


def remedied(
    flight: Flight,
    found: WaysCoverage,
    most: int = MOST_GAPS,
    *,
    done: Callable[[int, int], None] = lambda done, total: None,
    stopped: Callable[[], bool] = lambda: False,
) -> tuple[Finding, ...]:
    """Return the gaps as findings, the `most` longest with what would close or shorten them.

    `done` is told how many changes of at most how many are flown, `stopped` asked before each.
    """
    every = tuple(gaps.apart(found.gaps, flight.scenario))
    trials, worked = Trials(stopped=stopped), list[Finding]()
    for index, gap in enumerate(every):
        (finding,) = gaps.findings((gap,), flight.scenario)
        if index >= most or stopped():
            worked.append(finding)
            continue
        begun = index * MOST_CHANGES
        total = min(most, len(every)) * MOST_CHANGES
        tried: list[Remedy | str] = []
        for number, each in enumerate(islice(proposals(gap, flight), MOST_CHANGES), 1):
            if stopped():
                break
            tried.append(_flown(each, gap, flight, trials))
            done(begun + number, total)
        worked.append(_with(finding, tried))
    return tuple(worked)


def _with(finding: Finding, tried: list[Remedy | str]) -> Finding:
    """Return a finding with what helped, or why nothing that was tried did."""
    helped = tuple(x for x in tried if isinstance(x, Remedy))
    failed = [x for x in tried if isinstance(x, str)]
    why = f"nothing that was tried helps: {'; '.join(failed)}" if failed else ""
    none = "no change of the scenario is known that would close it"
    order = sorted(helped, key=lambda x: not x.closes)
    return replace(finding, remedies=tuple(order), unsolved="" if helped else why or none)


def _flown(proposal: Proposal, gap: WaysGap, flight: Flight, trials: Trials) -> Remedy | str:
    """Return a change that leaves less of the gap, or in words why it does not help."""
    try:
        changed = proposal.of(flight.scenario)
    except ScenarioError as refused:
        return f"{proposal.change} (cannot be: {refused.problems[0].text})"
    after = trials.fly(changed, flight)
    if after is None:
        return f"{proposal.change} (does not fly: {trials.why(changed) or trials.why_no_more})"
    if after.ended is not None:
        return f"{proposal.change} (ends: {after.ended.text})"
    stretches = set(_stretches(gap, flight))
    before, left = (_closed_for(gap, each, stretches) for each in (flight, after))
    if left > HELPS * before:
        return f"{proposal.change} (leaves {told.length(left)} of {told.length(before)})"
    stops = [x for x in checks.of(after) if x.rank == 0]
    return Remedy(
        proposal.change,
        not stops,
        _outcome(before, left, flight, after, stops, proposal),
        price.lift_off(flight, after),
    )


def _outcome(
    before: float,
    left: float,
    flight: Flight,
    after: Flight,
    stops: list[Finding],
    proposal: Proposal,
) -> str:
    gone = f"leaves {told.length(left)} of {told.length(before)} without a way out"
    parts = [gone if left > 0.0 else f"closes the gap of {told.length(before)}"]
    parts += [f"the plan does not close: {stops[0].text}"] if stops else []
    costs = ", ".join(price.costs(flight, after))
    return "; ".join(filter(None, (*parts, costs, proposal.basis)))


def _closed_for(gap: WaysGap, flight: Flight, stretches: set[Stretch]) -> float:
    """Return for how long [s] the gap's first failure leaves no way out of some stretches."""
    own = [
        cell
        for cell in cells(flight, (gap.cabin,))
        if CabinPoint(flight, gap.cabin, (cell.begin + cell.end) / 2.0).stretch in stretches
    ]
    failures = gap.failures[:1]
    found = covered({cell: looked_over(flight, cell, failures) for cell in own}, own, failures)
    return sum(each.duration for each in found.gaps)


def _stretches(gap: WaysGap, flight: Flight) -> Iterator[Stretch]:
    """Yield the stretches that a gap touches, by its ends and its middle."""
    for t in (gap.begin + 1.0, (gap.begin + gap.end) / 2.0, gap.end - 1.0):
        yield CabinPoint(flight, gap.cabin, min(t, flight.duration - 1.0)).stretch
