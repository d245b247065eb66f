"""Executed workbooks as one page of HTML that needs nothing from outside."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from importlib.resources import files
from itertools import count
from string import Template
from typing import Any, NamedTuple

import mistune
from nbformat import NotebookNode
from plotly.offline import get_plotlyjs

from mplan.comparing import Comparison
from mplan.kernel import failed_cells
from mplan.plan import Plan
from mplan.programme import Calendar
from mplan.show import comparing, notebook, notes, programme
from mplan.show.drawn.figure import PLOTLY

TO_LESSONS = re.compile(r'<p>[^<]*<a href="lessons/[^"]*">[^<]*</a>[^<]*</p>\n?')


class PageLink(NamedTuple):
    """A page that lies beside another one, and what is said of it there."""

    to: str
    says: str


def page(
    plan: Plan,
    books: Mapping[str, NotebookNode],
    failures: Sequence[str] = (),
    link: PageLink | None = None,
) -> str:
    """Return the page: verdict and origin, then the workbooks by name, their code folded away.

    What failed in them is listed above and shown where it stands; a `link` leads to another page.
    """
    head = {
        "title": plan.scenario.mission.name,
        "kind": "mission plan",
        "verdict": notes.verdict(plan),
        "made_from": notebook.made_from(plan).html,
        "cautions": notebook.cautions().html,
    }
    return _page(head, books, failures, link)


def programme_page(
    calendar: Calendar,
    books: Mapping[str, NotebookNode],
    failures: Sequence[str] = (),
    link: PageLink | None = None,
) -> str:
    """Return the page of a programme, made as that of a plan."""
    head = {
        "title": calendar.programme.name,
        "kind": "programme of missions",
        "verdict": programme.verdict(calendar).html,
        "made_from": programme.made_from(calendar).html,
        "cautions": programme.cautions().html,
    }
    return _page(head, books, failures, link)


def comparison_page(comparison: Comparison) -> str:
    """Return the page of two plans: verdicts, findings, margins, and a table a kind of thing."""
    a, b = comparison.a, comparison.b
    names = dict.fromkeys((a.scenario.mission.name, b.scenario.mission.name))
    head = {
        "title": " beside ".join(names),
        "kind": "two plans compared",
        "verdict": "".join(
            f"<p>{escape(line)}</p>" for line in comparing.told(comparison, folders=False)
        ),
        "made_from": "",  # at the end, of both
        "cautions": notebook.cautions().html,
    }
    return _filled(head, "\n".join(_compared(comparison)))


def _compared(comparison: Comparison) -> Iterator[str]:
    """Yield the parts of a comparison: what differs, and all rows folded away."""
    yield "<h2>Margins</h2>"
    picture, _ = comparing.margins(comparison)._repr_mimebundle_()
    yield _chart(picture, 1)
    every = comparing.everything(comparison, every=True)
    shown = comparing.everything(comparison)
    for title, frame in {"Findings": shown["Findings"], **shown}.items():
        yield f"<h2>{title}</h2>"
        table = notebook.Table(frame, "Nothing differs.").html
        yield f'<div class="wide">{table}</div>'
        if len(every[title]) > len(frame):
            whole = notebook.Table(every[title]).html
            said = f"all {len(every[title])}, those that are the same too"
            yield f'<details><summary>{said}</summary><div class="wide">{whole}</div></details>'
    for name, plan in (("A", comparison.a), ("B", comparison.b)):
        yield f"<h2>Where the numbers of {name} come from</h2>"
        yield f'<div class="wide">{notebook.made_from(plan).html}</div>'


def _page(
    head: Mapping[str, str],
    books: Mapping[str, NotebookNode],
    failures: Sequence[str],
    link: PageLink | None,
) -> str:
    """Return a page of workbooks."""
    numbers = count(1)
    body = "\n".join(x for name, book in books.items() for x in _parts(name, book, numbers))
    return _filled(head, body, failures, link)


def _filled(
    head: Mapping[str, str], body: str, failures: Sequence[str] = (), link: PageLink | None = None
) -> str:
    """Return a page; what stands in its `head` is HTML but for title and kind."""
    template = Template(files("mplan.report").joinpath("page.html").read_text("utf-8"))
    words = {name: escape(head[name]) for name in ("title", "kind")}
    return template.substitute(
        {**head, **words},
        link="" if link is None else f'<p><a href="{escape(link.to)}">{escape(link.says)}</a></p>',
        failures="".join(map(_failure, failures)),
        body=body,
        plotly=get_plotlyjs(),
    )


def _failure(text: str) -> str:
    return f'<p class="failed"><strong>Failed:</strong> {escape(text)}</p>'


def _parts(name: str, book: NotebookNode, numbers: Iterator[int]) -> Iterator[str]:
    failed = {each.name: each for each in failed_cells(book)}
    for cell in book.cells:
        if cell.cell_type == "markdown":
            yield _one_level_down(_html(cell.source))
        elif cell.cell_type == "code":
            yield f"<details><summary>code</summary><pre>{escape(cell.source)}</pre></details>"
            for output in cell.outputs:
                if output.output_type != "error":
                    yield _output(output, numbers)
            if cell.id in failed:
                yield _failure(f"{name}, {failed[cell.id]}")


def _html(text: str) -> str:
    """Return Markdown as HTML, but for what leads to the lessons: a reader has no workbooks."""
    made = mistune.html(text)
    if not isinstance(made, str):  # with another renderer it would be a list of tokens
        raise TypeError(f"Markdown became {type(made).__name__}, not HTML")
    return TO_LESSONS.sub("", made)


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


def _chart(data: Mapping[str, Any], number: int) -> str:
    """Return a chart to look into on a screen, and its still twin for paper."""
    words = escape(data["text/plain"])
    figure = json.dumps(data[PLOTLY]).replace("<", "\\u003c")
    return (
        f'<figure><div class="wide"><div class="chart" id="chart-{number}" role="img" '
        f'aria-label="{words}"></div></div>'
        f'<img class="still" alt="{words}" src="data:image/png;base64,{data["image/png"]}">'
        f"<figcaption>{words}</figcaption></figure>"
        f'<script type="application/json" data-chart="chart-{number}">{figure}</script>'
    )
