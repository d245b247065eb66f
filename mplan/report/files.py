"""What reports are made of beside their pages: executed workbooks, and tables as CSV and XLSX."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import nbformat
import pandas as pd
from nbformat import NotebookNode

from mplan import kernel, lettering

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

Progress = Callable[[int, int, str], None]  # steps done, of how many, and what is being done


def execute(
    books: Mapping[str, NotebookNode], place: Path, progress: Progress, *, skip: str = ""
) -> list[str]:
    """Execute workbooks in a folder and write them there; return what failed in them, a line each.

    Cells with the tag `skip` are not executed.
    """

    def begun(done: int, total: int, name: str) -> None:
        progress(done, total, f"{name}.ipynb")

    failed = kernel.execute_all(books, place, begun, skip=skip)
    for name, book in books.items():
        nbformat.write(book, place / f"{name}.ipynb")
    return [f"{name}, {text}" for name, texts in failed.items() for text in texts]


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


def _widen(sheet: Worksheet, frame: pd.DataFrame) -> None:
    """Give each column the width of what stands in it, within reason."""
    for cells, name in zip(sheet.columns, frame.columns, strict=True):
        longest = max([len(str(name)), *(len(str(value)) for value in frame[name])])
        sheet.column_dimensions[cells[0].column_letter].width = min(60, longest + 2)
