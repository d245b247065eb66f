"""What workbook 10 flies: the coverage of a mission in its cell, and one failure at one time."""

from __future__ import annotations

from dataclasses import replace

from mplan.checks.finding import Finding
from mplan.checks.ways_out import remedied
from mplan.contingencies.ways_out.coverage import WaysCoverage
from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.crew_and_ways_out import pictures, tables, words
from mplan.show.crew_and_ways_out.carried import GAPS, gaps_text
from mplan.show.crew_and_ways_out.panel import chosen
from mplan.show.crew_and_ways_out.tables import NOBODY
from mplan.show.drawn.figure import Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words, sentence, together
from mplan.show.panels.in_cell import NOTHING, Study, Telling
from mplan.show.reached import asks_splash
from mplan.studies import ways_out

Mended = tuple[WaysCoverage, tuple[Finding, ...]]  # what was looked at, and its gaps
NOT_ASKED = "No change was asked for: set GAPS to 1 or more, or run mplan ways SCENARIO --remedies."


@asks_splash
def coverage(plan: Plan, *, theme: Theme | None = None) -> Study | Words:
    """Return the flights that look at every stretch: bands, gaps, and every band in figures."""
    if not ways_out.cabins(plan.flight):
        return sentence(NOBODY)

    def work(telling: Telling) -> WaysCoverage:
        return ways_out.of(
            plan.flight, done=telling.progress, so_far=telling.fill, stopped=telling.stopped
        )

    def show(found: WaysCoverage) -> tuple[Picture | Words, Words, str]:
        notes = together(*map(sentence, words.NOTES))
        listed = together(tables.gaps(found), tables.spans(found), notes)
        listed.carried = {GAPS: gaps_text(found)}
        return pictures.bands(found, theme=theme), listed, words.line(found)

    return Study("Fly ways out", "{} of {} pieces of the mission", work, show)


@asks_splash
def mended(plan: Plan, gaps: int = 1) -> Study | Words:
    """Return flights of changes that may close the longest `gaps`, after the coverage itself.

    A sentence that says how to ask for them, where that is none.
    """
    if gaps < 1:
        return sentence(NOT_ASKED)
    if not ways_out.cabins(plan.flight):
        return sentence(NOBODY)

    def work(telling: Telling) -> Mended:
        found = ways_out.of(plan.flight, stopped=telling.stopped)
        changes = remedied(plan.flight, found, gaps, done=telling.progress, stopped=telling.stopped)
        return found, changes

    def show(found: Mended) -> tuple[Words, Words, str]:
        looked, gaps = found
        if not gaps:
            told = words.line(looked)
            return sentence(told), NOTHING, told
        told = f"{len(gaps)} gap{'s' * (len(gaps) != 1)}"
        more = "; the looks at ways out were stopped, there may be more" * looked.stopped
        return notebook.findings(replace(plan, findings=gaps)), NOTHING, told + more

    return Study("Fly what would close gaps", "{} of at most {} changes", work, show)


@asks_splash
def then(
    plan: Plan, at: str = "", failure: str = "", *, theme: Theme | None = None
) -> Picture | Words:
    """Return the way home drawn, of a failure at a time like 75:41; half-way without a time."""
    if not ways_out.cabins(plan.flight):
        return sentence(NOBODY)
    return pictures.way_home(chosen(plan, at, failure), theme=theme)


@asks_splash
def then_about_moon(
    plan: Plan, at: str = "", failure: str = "", *, theme: Theme | None = None
) -> Picture | Words:
    """Return the same way about the Moon with its orbits and burns; words where it has none."""
    if not ways_out.cabins(plan.flight):
        return sentence(NOBODY)
    return pictures.way_about_moon(chosen(plan, at, failure), theme=theme)


@asks_splash
def then_ways(plan: Plan, at: str = "", failure: str = "") -> Words:
    """Return every way out of a failure at a time like 75:41, with their burns."""
    if not ways_out.cabins(plan.flight):
        return sentence(NOBODY)
    return tables.ways(chosen(plan, at, failure))
