"""A report: the workbooks executed on a scenario, as a page, notebooks, tables and data.

A programme of missions has a page of its own in it, or alone.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from mplan import writing
from mplan.plan import Plan, fly
from mplan.programme import Calendar, load_programme, plan_programme
from mplan.report import mission, pdf, what_if
from mplan.report import programme as whole
from mplan.report.beside import PageLink
from mplan.report.files import Progress
from mplan.report.pdf import Paper
from mplan.scenario import Scenario, load


@dataclass(frozen=True)
class Report:
    """What was written: the page to open, and every file; and what it is about.

    `failures` are the cells that failed, with the workbook of each, a line each; the page shows
    them where they stand, and all else is written.
    """

    plan: Plan | None
    calendar: Calendar | None
    page: Path
    files: tuple[Path, ...]
    failures: tuple[str, ...] = ()


def make(
    scenario: Scenario | str | os.PathLike[str] | None,
    to: str | os.PathLike[str],
    *,
    programme: str | os.PathLike[str] | None = None,
    progress: Progress = lambda done, total, name: None,
    studies: bool = False,
    flights: int = what_if.MOST_FLIGHTS,
    paper: Paper | None = None,
) -> Report:
    """Write the report of a scenario, a programme's file or both into the folder `to`.

    The folder need not be there yet. Everything is made beside it, which it then becomes in one
    step; where it is there already, each file takes its place at the end, the page as the last
    one. A cell that fails is shown as failed. With `studies` the long studies of the workbooks are
    flown too; at most so many `flights` are made for the sliders of the page. With a `paper` each
    page is printed to a PDF too. Raises ScenarioError before anything is written, ValueError where
    neither is given, and NoPdf where nothing prints.
    """
    if scenario is None and programme is None:
        raise ValueError("a report is about a scenario, a programme, or both")
    if paper is not None:
        pdf.browser()
    if scenario is not None and not isinstance(scenario, Scenario):
        scenario = load(scenario)
    planned = None if programme is None else load_programme(programme)
    calendar = None if planned is None else plan_programme(planned, done=progress)
    plan = None if scenario is None else fly(scenario, remedies=True)
    target, page = Path(to).resolve(), whole.PAGE if plan is None else mission.PAGE
    with writing.replacing_folder(target, last=page) as beside:
        plan, failures = _write(plan, calendar, beside, progress, studies=studies, flights=flights)
        if paper is not None:
            failures += tuple(pdf.beside(sorted(beside.glob("*.html")), paper))
        files = sorted(path.relative_to(beside) for path in beside.rglob("*") if path.is_file())
    every = tuple(target / file for file in files)
    return Report(plan, calendar, target / page, every, failures)


def _write(
    plan: Plan | None,
    calendar: Calendar | None,
    place: Path,
    progress: Progress,
    *,
    studies: bool,
    flights: int,
) -> tuple[Plan | None, tuple[str, ...]]:
    """Write everything into a folder, each page with a link to the other; return what failed.

    With it the plan, as its page judges it.
    """
    failures: tuple[str, ...] = ()
    if plan is not None:
        other = _to_programme(calendar)
        plan, failures = mission.write(
            plan, place, progress, other, studies=studies, flights=flights
        )
    if calendar is not None:
        failures += whole.write(calendar, place, progress, _to_mission(plan))
    return plan, failures


def _to_programme(calendar: Calendar | None) -> PageLink | None:
    if calendar is None:
        return None
    return PageLink(whole.PAGE, f"The programme: {calendar.programme.name}")


def _to_mission(plan: Plan | None) -> PageLink | None:
    return (
        None
        if plan is None
        else PageLink(mission.PAGE, f"The mission: {plan.scenario.mission.name}")
    )
