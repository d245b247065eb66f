"""Is there a way out of every stretch? A gap is a decision: to accept it, or to change the plan."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.contingencies.ways_out import told
from mplan.contingencies.ways_out.coverage import WaysCoverage, WaysGap
from mplan.scenario.figures import Figures
from mplan.scenario.severity import WAYS_OUT as NAME

__all__ = ["NAME", "findings"]

BASIS = "flown: burns of what still works, integrated to the splash; suits, supplies and energy"


def findings(found: WaysCoverage) -> Iterator[Finding]:
    """Yield a finding for each gap of a coverage, the longest first.

    Its event is the cabin; [severity] may set each by the cabin or by the failure.
    """
    for gap in found.gaps:
        yield _finding(gap)


def _finding(gap: WaysGap) -> Finding:
    return Finding(
        severity="needs a decision",
        check=NAME,
        event=gap.cabin,
        text=f"{told.gap(gap)}: {gap.reason}",
        figures=Figures("a way out at every time", f"none {told.span(gap)}"),
        basis=BASIS,
        subject=gap.failures,
    )
