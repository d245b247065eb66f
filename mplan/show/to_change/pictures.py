"""The pictures of workbook 09 that need no flight; a picture shows itself as a cell's last line."""

from __future__ import annotations

from mplan.plan import Plan
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words, sentence
from mplan.show.to_change import finding_marks


def findings(plan: Plan, *, theme: Theme | None = None) -> Picture | Words:
    """Return the findings over the days since lift-off [d], the gravest on top."""
    if not plan.findings:
        return sentence(finding_marks.summary(plan))
    return Picture(finding_marks.drawing(plan, theme), plan.scenario.source.stem, "findings")
