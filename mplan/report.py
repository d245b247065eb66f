"""A report: the workbooks executed on a scenario, as a page, notebooks, tables and data."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timezone
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import nbformat
import pandas as pd
from nbformat import NotebookNode

from mplan import kernel, lettering, report_page, workbooks, writing
from mplan.cautions import CAUTIONS
from mplan.contract import as_json
from mplan.oem import NoArcs, message
from mplan.plan import Plan, fly
from mplan.scenario import Scenario, load
from mplan.show import provenance, tables

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

PAGE = "report.html"

Progress = Callable[[int, int, str], None]  # cells done, of how many, and in which workbook


@dataclass(frozen=True)
class Report:
    """What was written: the page to open, and every file; and the plan it is about.

    `failures` are the cells that failed, with the workbook of each, a line each; the page shows
    them where they stand, and all else is written.
    """

    plan: Plan
    page: Path
    files: tuple[Path, ...]
    failures: tuple[str, ...] = ()


def make(
    scenario: Scenario | str | os.PathLike[str],
    to: str | os.PathLike[str],
    *,
    progress: Progress = lambda done, total, name: None,
) -> Report:
    """Write the report of a scenario into the folder `to`, which need not be there yet.

    Everything is made beside that folder, which it then becomes in one step; where it is there
    already, each file takes its place at the end, the page as the last one. A cell that
    fails is shown as failed. Raises ScenarioError before anything is written.
    """
    scenario = scenario if isinstance(scenario, Scenario) else load(scenario)
    plan = fly(scenario, remedies=True)
    sources = workbooks.of_a_mission(workbooks.all_in(workbooks.folder()))
    target = Path(to).resolve()
    with writing.replacing_folder(target, last=PAGE) as beside:
        failures = _write(plan, sources, beside, progress)
        files = sorted(path.relative_to(beside) for path in beside.rglob("*") if path.is_file())
    return Report(plan, target / PAGE, tuple(target / file for file in files), failures)


def _write(plan: Plan, sources: list[Path], place: Path, progress: Progress) -> tuple[str, ...]:
    """Write everything into a folder; return what failed, a line each."""
    books = {source.stem: workbooks.read(source) for source in sources}
    failures = tuple(
        f"{name}, {failure}"
        for name, book in books.items()
        for failure in _executed(plan, name, book, place, progress)
    )
    _write_arcs(plan, place / "trajectory.oem")
    (place / PAGE).write_text(report_page.page(plan, books, failures), encoding="utf-8")
    (place / "plan.json").write_text(as_json(plan), encoding="utf-8")
    _write_tables(plan, place / "tables")
    return failures


def _executed(
    plan: Plan, name: str, book: NotebookNode, place: Path, progress: Progress
) -> Iterator[str]:
    """Execute a workbook about the plan's scenario and write it; yield what failed in it."""
    # The folder lies beside the one it ends up in: this path holds in both.
    file = workbooks.path_from(place, plan.scenario.source)
    workbooks.set_parameters(book, file, plan.scenario.changes)
    try:
        yield from map(str, kernel.execute(book, place, partial(_say, progress, f"{name}.ipynb")))
    except kernel.WorkbookError as problem:
        yield str(problem)
    nbformat.write(book, place / f"{name}.ipynb")


def _write_arcs(plan: Plan, file: Path) -> None:
    """Write the integrated arcs, where the flight has come as far as one."""
    with suppress(NoArcs):  # the verdict at the head of the page says where the flight ends
        file.write_text(message(plan, datetime.now(timezone.utc)), encoding="ascii")


def _say(progress: Progress, name: str, done: int, total: int) -> None:
    progress(done, total, name)


def _write_tables(plan: Plan, place: Path) -> None:
    place.mkdir()
    facts = pd.DataFrame(provenance.of(plan).items(), columns=["what", "value"])
    said = pd.DataFrame(enumerate(CAUTIONS, 1), columns=["number", "caution"])
    (place / "cautions.txt").write_text("\n".join(CAUTIONS) + "\n", encoding="utf-8")
    every = {**tables.everything(plan), "provenance": facts}
    every = {name: frame.map(lettering.spreadsheet) for name, frame in every.items()}
    for name, frame in every.items():
        frame.to_csv(place / f"{name}.csv", index=False, encoding="utf-8")
    with pd.ExcelWriter(place / "tables.xlsx", engine="openpyxl") as book:
        for name, frame in {**every, "cautions": said}.items():
            frame.to_excel(book, sheet_name=name, index=False, freeze_panes=(1, 1))
            _widen(book.sheets[name], frame)


def _widen(sheet: Worksheet, frame: pd.DataFrame) -> None:
    """Give each column the width of what stands in it, within reason."""
    for cells, name in zip(sheet.columns, frame.columns, strict=True):
        longest = max([len(str(name)), *(len(str(value)) for value in frame[name])])
        sheet.column_dimensions[cells[0].column_letter].width = min(60, longest + 2)
