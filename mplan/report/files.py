"""What reports are made of beside their pages: executed workbooks, and tables as CSV and XLSX."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import nbformat
import pandas as pd
from nbformat import NotebookNode

from mplan import kernel, lettering

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

Progress = Callable[[int, int, str], None]  # cells done, of how many, and in which workbook


def execute(name: str, book: NotebookNode, place: Path, progress: Progress) -> Iterator[str]:
    """Execute a workbook in a folder and write it there; yield what failed in it, a line each."""
    try:
        yield from map(str, kernel.execute(book, place, partial(_say, progress, f"{name}.ipynb")))
    except kernel.WorkbookError as problem:
        yield str(problem)
    nbformat.write(book, place / f"{name}.ipynb")


def write_tables(frames: Mapping[str, pd.DataFrame], cautions: Sequence[str], book: Path) -> None:
    """Write tables by name as CSV files, and all of them with the cautions into a `book` beside.

    Cautions stand in cautions.txt too.
    """
    place = book.parent
    place.mkdir(exist_ok=True)
    said = pd.DataFrame(enumerate(cautions, 1), columns=["number", "caution"])
    (place / "cautions.txt").write_text("\n".join(cautions) + "\n", encoding="utf-8")
    every = {name: frame.map(lettering.spreadsheet) for name, frame in frames.items()}
    for name, frame in every.items():
        frame.to_csv(place / f"{name}.csv", index=False, encoding="utf-8")
    with pd.ExcelWriter(book, engine="openpyxl") as sheets:
        for name, frame in {**every, "cautions": said}.items():
            frame.to_excel(sheets, sheet_name=name, index=False, freeze_panes=(1, 1))
            _widen(sheets.sheets[name], frame)


def _say(progress: Progress, name: str, done: int, total: int) -> None:
    progress(done, total, name)


def _widen(sheet: Worksheet, frame: pd.DataFrame) -> None:
    """Give each column the width of what stands in it, within reason."""
    for cells, name in zip(sheet.columns, frame.columns, strict=True):
        longest = max([len(str(name)), *(len(str(value)) for value in frame[name])])
        sheet.column_dimensions[cells[0].column_letter].width = min(60, longest + 2)
