"""A study as one page that opens offline, or as one still picture."""

from __future__ import annotations

from pathlib import Path

import nbformat

from mplan.report.page import page
from mplan.show import trades
from mplan.show.drawn.figure import Picture
from mplan.studies.trades import Trades

MOST = 2000  # cases in the table of a page; --csv and --parquet have all


def make(found: Trades, path: Path) -> bytes:
    """Return the file that `path` asks for by its end, .html or .png.

    ValueError where a study tells fewer than two figures to draw by.
    """
    picture = trades.fronts(found)
    if path.suffix == ".png":
        return picture.png()
    return page(found.planned, {"study": _book(found, picture)}).encode("utf-8")


def _book(found: Trades, picture: Picture) -> nbformat.NotebookNode:
    """Return picture and tables as a workbook has them."""
    tables = [("trades.cases(found)", trades.cases(found, MOST))]
    if found.study.objectives:
        tables.insert(0, ("trades.best(found)", trades.best(found)))
    shown = [("trades.fronts(found)", picture._repr_mimebundle_()[0])]
    shown += [(code, {"text/html": table._repr_html_()}) for code, table in tables]
    cells = [nbformat.v4.new_markdown_cell(f"# {found.study.name}\n\n{picture.summary}")]
    for code, data in shown:
        output = nbformat.v4.new_output("display_data", data)
        cells.append(nbformat.v4.new_code_cell(code, outputs=[output]))
    return nbformat.v4.new_notebook(cells=cells)
