"""What cells of an executed workbook become on a page: prose, numbered tables, charts, failures."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from html import escape
from itertools import count
from typing import Any

import mistune
from nbformat import NotebookNode

from mplan.show.drawn.figure import PICTURE, PLOTLY

TABLE = re.compile(r"<table\b.*?</table>", re.DOTALL)
BEGIN = re.compile(r"<table[^>]*>")
HEAD = re.compile(r"<th(?=[ >])")
BROAD = 13  # columns, from which on a table is printed on a sheet turned sideways
LOW = 520  # px, of a chart on a screen at least as high as it is wide


class Numbers:
    """What counts the tables and charts of a page, so that people can point at one."""

    def __init__(self) -> None:
        """Begin at 1."""
        self.tables, self.charts = count(1), count(1)


class Prose:
    """Markdown as HTML, its headings some levels further down; no level is left out."""

    def __init__(self, above: int, down: int) -> None:
        """Begin below a heading of the level `above`; a workbook's are `down` levels further."""
        self._write = mistune.create_markdown(renderer=_Levels(above, down), plugins=["table"])

    def html(self, text: str) -> str:
        """Return a piece of Markdown, which comes after those before."""
        made = self._write(text)
        if not isinstance(made, str):  # with another renderer it would be a list of tokens
            raise TypeError(f"Markdown became {type(made).__name__}, not HTML")
        return made


class _Levels(mistune.HTMLRenderer):
    """Writes headings at most one level below the one before."""

    def __init__(self, above: int, down: int) -> None:
        super().__init__(escape=False)
        self._last, self._down = above, down

    def heading(self, text: str, level: int, **attrs: Any) -> str:  # noqa: ANN401 (as mistune has it)
        """Return a heading."""
        self._last = min(6, level + self._down, self._last + 1)
        return f"<h{self._last}>{text}</h{self._last}>\n"


def heading(text: str) -> str:
    """Return the heading that a piece of Markdown begins with; "" where it has none."""
    first = next(iter(text.strip().splitlines()), "")
    return first.lstrip("# ") if first.startswith("#") else ""


def outputs(cell: NotebookNode, about: str, numbers: Numbers) -> Iterator[str]:
    """Yield the outputs of a code cell but for errors; tables are titled by what they are `about`.

    A widget, which no page can run, has none.
    """
    for output in cell.outputs:
        if output.output_type == "stream":
            yield f"<pre>{escape(output.text)}</pre>"
        elif output.output_type != "error":
            yield _shown(output.get("data", {}), about, numbers)


def _shown(data: Mapping[str, Any], about: str, numbers: Numbers) -> str:
    if PLOTLY in data:
        return chart(data, numbers)
    if "text/html" in data:
        return tables(data["text/html"], about, numbers)
    return f"<pre>{escape(data.get('text/plain', ''))}</pre>"


def tables(html: str, about: str, numbers: Numbers) -> str:
    """Return HTML with each of its tables in a box that scrolls, under a number and a title."""

    def boxed(found: re.Match[str]) -> str:
        words = escape(f"Table {next(numbers.tables)}. {about}".removesuffix(". "))
        table = BEGIN.sub(lambda begin: f"{begin[0]}<caption>{words}</caption>", found[0])
        scoped = _scoped(table)
        kind = "wide broad" if scoped.count('scope="col"') >= BROAD else "wide"
        return f'<div class="{kind}" role="region" aria-label="{words}">{scoped}</div>'

    return TABLE.sub(boxed, html)


def _scoped(table: str) -> str:
    """Say of each heading of a table whether it heads a column or a row."""
    head, body, rows = table.partition("<tbody>")
    return HEAD.sub('<th scope="col"', head) + body + HEAD.sub('<th scope="row"', rows)


def chart(data: Mapping[str, Any], numbers: Numbers, *, height: int | None = None) -> str:
    """Return a chart to look into on a screen, and its still twin for paper.

    With a `height` [px] of its own it is as wide as there is room; others scroll on a phone.
    """
    number, words = next(numbers.charts), escape(data["text/plain"])
    figure = data[PLOTLY]
    high = height or figure["layout"].get("height", LOW)
    told = {**figure, "layout": {**figure["layout"], "height": high}, "about": data[PICTURE]}
    written = json.dumps(told, separators=(",", ":")).replace("<", "\\u003c")
    kind = "chart fits" if height else "chart"
    return (
        f'<figure class="drawn"><div class="wide">'
        f'<div class="{kind}" id="chart-{number}" role="img" '
        f'aria-label="{words}" style="height:{high}px"></div></div>'
        f'<img class="still" alt="{words}" src="data:image/png;base64,{data["image/png"]}">'
        f"<figcaption>Figure {number}. {words}</figcaption></figure>"
        f'<script type="application/json" id="chart-{number}-data" data-chart="chart-{number}">'
        f"{written}</script>"
    )


def failure(text: str) -> str:
    """Return that something failed, and what."""
    return f'<p class="failed"><strong>Failed:</strong> {escape(text)}</p>'
