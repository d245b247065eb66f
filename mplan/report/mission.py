"""The part of a report about a mission: its page, workbooks, tables, JSON and arcs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import datetime, timezone
from pathlib import Path

import pandas as pd
from nbformat import NotebookNode

from mplan import workbooks
from mplan.cautions import CAUTIONS
from mplan.checks import ways_out
from mplan.contract import as_json
from mplan.glancing import glanced
from mplan.oem import NoArcs, message
from mplan.plan import Plan, with_ways_out
from mplan.report import files, what_if
from mplan.report.beside import PageLink, beside
from mplan.report.chapters import STUDY
from mplan.report.files import Progress
from mplan.report.page import page
from mplan.show import provenance, tables
from mplan.show.crew_and_ways_out.carried import gaps_in

PAGE = "report.html"


def write(
    plan: Plan,
    place: Path,
    progress: Progress,
    other: PageLink | None,
    *,
    studies: bool = False,
    flights: int = what_if.MOST_FLIGHTS,
) -> tuple[Plan, tuple[str, ...]]:
    """Write everything about a mission into a folder; return what failed too, a line each.

    The plan that is returned has the gaps in its ways out among its findings. The long studies of
    the workbooks are flown and shown with `studies`. At most so many `flights` of changed missions
    are made for the sliders of the page, which 0 leaves out.
    """
    sources = workbooks.of_a_mission(workbooks.all_in(workbooks.folder()))
    books = {source.stem: workbooks.read(source) for source in sources}
    # The folder lies beside the one it ends up in: this path holds in both.
    file = workbooks.path_from(place, plan.scenario.source)
    for book in books.values():
        workbooks.set_parameters(book, file, plan.scenario.changes)
    with what_if.flying(plan, flights) as tried:
        failures = files.execute(books, place, progress, skip="" if studies else STUDY)
        told = tried()
    plan = _judged(plan, books)
    _write_arcs(plan, place / "trajectory.oem")
    (place / "plan.json").write_text(as_json(plan), encoding="utf-8")
    write_tables(plan, place / "tables")
    links = [*([other] if other else []), *beside(place)]
    sliders = what_if.section(told) if told else ""
    text = page(plan, books, failures, links, what_if=sliders, studies=studies)
    (place / PAGE).write_text(text, encoding="utf-8")
    return plan, tuple(failures)


def _judged(plan: Plan, books: Mapping[str, NotebookNode]) -> Plan:
    """Return the plan with the gaps that a workbook has flown, or else that a glance sees."""
    shown = (output.get("data", {}) for x in books.values() for output in _outputs(x))
    gaps = gaps_in(shown)
    if gaps is None:
        return glanced(plan)
    return with_ways_out(plan, ways_out.findings(gaps, plan.scenario))


def _outputs(book: NotebookNode) -> Iterator[NotebookNode]:
    return (output for cell in book.cells for output in cell.get("outputs", ()))


def _write_arcs(plan: Plan, file: Path) -> None:
    """Write the integrated arcs, where the flight has come as far as one."""
    with suppress(NoArcs):  # the verdict at the head of the page says where the flight ends
        file.write_text(message(plan, datetime.now(timezone.utc)), encoding="ascii")


def write_tables(plan: Plan, place: Path) -> None:
    """Write the tables of a plan, and where its numbers come from, into a folder."""
    facts = pd.DataFrame(provenance.of(plan).items(), columns=["what", "value"])
    every = {**tables.everything(plan), "provenance": facts}
    files.write_tables(every, CAUTIONS, place / "tables.xlsx")
