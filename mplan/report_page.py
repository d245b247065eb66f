"""Executed workbooks as one page of HTML that needs nothing from outside."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from html import escape
from importlib.resources import files
from itertools import count
from string import Template

import mistune
from nbformat import NotebookNode
from plotly.offline import get_plotlyjs

from mplan.plan import Plan
from mplan.show import notebook, notes
from mplan.show.drawn.figure import PLOTLY


def page(plan: Plan, books: Sequence[NotebookNode]) -> str:
    """Return the page: verdict and origin, then the workbooks, with their code folded away."""
    numbers = count(1)
    template = Template(files("mplan").joinpath("report_page.html").read_text("utf-8"))
    return template.substitute(
        title=escape(plan.scenario.mission.name),
        verdict=notes.verdict(plan),
        made_from=notebook.made_from(plan).html,
        cautions=notebook.cautions().html,
        body="\n".join(part for book in books for part in _parts(book, numbers)),
        plotly=get_plotlyjs(),
    )


def _parts(book: NotebookNode, numbers: Iterator[int]) -> Iterator[str]:
    for cell in book.cells:
        if cell.cell_type == "markdown":
            yield _one_level_down(_html(cell.source))
        elif cell.cell_type == "code":
            yield f"<details><summary>code</summary><pre>{escape(cell.source)}</pre></details>"
            for output in cell.outputs:
                yield _output(output, numbers)


def _html(text: str) -> str:
    """Return Markdown as HTML."""
    made = mistune.html(text)
    if not isinstance(made, str):  # with another renderer it would be a list of tokens
        raise TypeError(f"Markdown became {type(made).__name__}, not HTML")
    return made


def _one_level_down(html: str) -> str:
    """Make room for the page's own heading above those of a workbook."""
    return re.sub(r"(</?h)([1-5])>", lambda m: f"{m[1]}{int(m[2]) + 1}>", html)


def _output(output: NotebookNode, numbers: Iterator[int]) -> str:
    if output.output_type == "stream":
        return f"<pre>{escape(output.text)}</pre>"
    data = output.get("data", {})
    if PLOTLY in data:
        return _chart(data, next(numbers))
    if "text/html" in data:
        return f'<div class="wide">{data["text/html"]}</div>'
    return f"<pre>{escape(data.get('text/plain', ''))}</pre>"


def _chart(data: NotebookNode, number: int) -> str:
    """Return a chart to look into on a screen, and its still twin for paper."""
    words = escape(data["text/plain"])
    figure = json.dumps(data[PLOTLY]).replace("</", "<\\/")
    return (
        f'<figure><div class="wide"><div class="chart" id="chart-{number}" role="img" '
        f'aria-label="{words}"></div></div>'
        f'<img class="still" alt="{words}" src="data:image/png;base64,{data["image/png"]}">'
        f"<figcaption>{words}</figcaption></figure>"
        f'<script type="application/json" data-chart="chart-{number}">{figure}</script>'
    )
