"""Is there a way out of every stretch? A gap is a decision: to accept it, or to change the plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from mplan.checks.finding import Finding, as_set, stated
from mplan.contingencies.ways_out import told
from mplan.contingencies.ways_out.coverage import WaysGap
from mplan.contingencies.ways_out.failures import FailureName
from mplan.scenario import Scenario
from mplan.scenario.figures import Figures
from mplan.scenario.severity import WAYS_OUT as NAME
from mplan.scenario.severity import Severity
from mplan.scenario.wording import plain

__all__ = ["NAME", "apart", "findings"]

BASIS = "flown: burns of what still works, integrated to the splash; suits, supplies and energy"


def findings(gaps: Iterable[WaysGap], scenario: Scenario) -> Iterator[Finding]:
    """Yield a finding for each gap, as grave as the scenario sets it.

    Its event is the cabin; [severity] may set each by the cabin or by the failure.
    """
    for gap in apart(gaps, scenario):
        yield as_set(_finding(gap), scenario)


def apart(gaps: Iterable[WaysGap], scenario: Scenario) -> Iterator[WaysGap]:
    """Yield gaps such that a scenario sets one severity for all failures of each."""
    for gap in gaps:
        alike: dict[Severity | None, list[FailureName]] = {}
        for failure in gap.failures:
            alike.setdefault(stated(scenario, NAME, (gap.cabin, failure)), []).append(failure)
        yield from (gap._replace(failures=tuple(failures)) for failures in alike.values())


def _finding(gap: WaysGap) -> Finding:
    return Finding(
        severity="needs a decision",
        check=NAME,
        event=gap.cabin,
        text=f"{told.gap(gap)}: {gap.reason}",
        figures=Figures("a way out at every time", f"none {told.span(gap)}"),
        basis=BASIS,
        subject=gap.failures,
        together="gaps in the ways out",
        item=f"{plain(gap.cabin)} with {told.failed(gap.failures)} {told.span(gap)}",
    )
