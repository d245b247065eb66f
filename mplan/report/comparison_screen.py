"""The first screen of a comparison: both verdicts, what differs, what that does, in one picture."""

from __future__ import annotations

import re
from html import escape

import pandas as pd

from mplan.cautions import CAUTIONS
from mplan.comparing import Comparison, FindingPair
from mplan.plan import Plan
from mplan.report import first_screen
from mplan.report.cells import Numbers, chart, tables
from mplan.report.first_screen import box
from mplan.show import comparing, notebook
from mplan.show.notes import MARKS

_KEY = r"(?<=>)\w+(?:\.\w+)+(?=<)"
MOST = 8  # rows of a table, or findings, before the reader is led to all of them
STYLE = """<style>
.verdicts { display: grid; gap: 0.5rem; align-content: start; }
.said .cautions { align-self: start; }
.glance.compared { grid-template-areas: none; grid-template-rows: none; }
.compared .box { grid-area: auto; }
.compared .both-margins { grid-column: 1 / -1; }
.compared .wide table { width: 100%; }
.compared caption { display: none; }
.compared th, .compared td { white-space: normal !important; min-width: 0 !important; }
.compared .differs table { table-layout: fixed; overflow-wrap: break-word; }
.compared .differs thead :first-child { width: 46%; }
@media screen and (max-width: 760px) { .glance.compared { grid-template-areas: none; } }
</style>"""


def of(comparison: Comparison, numbers: Numbers) -> str:
    """Return what a reader sees first of two plans."""
    shown = comparing.everything(comparison)
    plans = (("A", comparison.a), ("B", comparison.b))
    verdicts = "".join(_verdict(name, plan) for name, plan in plans)
    parts = [
        STYLE,
        f'<div class="said"><div class="verdicts">{verdicts}<p>{escape(_counted(comparison))}</p>'
        f"</div>{first_screen.cautions(CAUTIONS)}</div>",
        '<div class="glance compared">',
        box("differs", "What differs in the files", _keys(shown["Keys"], numbers)),
        box("does", "What that does", _first(shown["Figures"], "figures", numbers)),
        box("both-margins", "Margins of both", _picture(comparison, numbers)),
        box("lost-and-gained", "Findings lost and gained", _findings(comparison)),
        box("when", "Dates", _first(shown["Dates"], "dates", numbers)),
        "</div>",
    ]
    return "\n".join(filter(None, parts))


def _verdict(name: str, plan: Plan) -> str:
    marked = first_screen.judged(closes=plan.closes, decisions=plan.decisions_open)
    scenario = plan.scenario
    changes = f" with {'; '.join(map(str, scenario.changes))}" if scenario.changes else ""
    text = f"{plan.verdict} ({scenario.mission.profile}; {scenario.source.name}{changes})"
    return first_screen.verdict(marked._replace(word=f"{name}: {marked.word}"), text)


def _counted(comparison: Comparison) -> str:
    """Return how much differs, in a line."""
    return comparing.told(comparison)[-1]


def _keys(frame: pd.DataFrame, numbers: Numbers) -> str:
    """Return the first keys, which narrow columns may break behind a dot or an underscore."""
    table = _first(frame, "keys", numbers)
    return re.sub(_KEY, lambda key: re.sub(r"[._]", r"\g<0><wbr>", key[0]), table)


def _first(frame: pd.DataFrame, chapter: str, numbers: Numbers) -> str:
    """Return the first rows of a table, and where all of them are."""
    table = tables(notebook.Table(frame.head(MOST), "Nothing differs.").html, chapter, numbers)
    if len(frame) <= MOST:
        return table
    return f'{table}<p><a href="#{chapter}">All {len(frame)} that differ</a></p>'


def _findings(comparison: Comparison) -> str:
    """Return the findings that one plan has alone, and those that change, gravest first."""
    moved = [x for x in comparison.findings if x.what != "same"]
    if not moved:
        return "<p>Both have the same findings.</p>"
    moved.sort(key=lambda pair: (_rank(pair), pair.what == "changed"))
    items = "".join(map(_finding, moved[:MOST]))
    more = f'<p><a href="#findings">All {len(moved)} that differ</a></p>'
    return f"<ul>{items}</ul>{more if len(moved) > MOST else ''}"


def _rank(pair: FindingPair) -> int:
    return min(x.rank for x in pair if x is not None)


def _finding(pair: FindingPair) -> str:
    known = pair.b or pair.a
    if known is None:
        raise ValueError("a pair of nothing")
    mark = f'<span aria-hidden="true">{MARKS[known.severity]}</span>'
    what = {"gained": "gained in B", "lost": "lost in B"}.get(pair.what, "changed")
    return f"<li>{mark} <strong>{what}, {known.severity}</strong>: {escape(known.text)}</li>"


def _picture(comparison: Comparison, numbers: Numbers) -> str:
    return chart(comparing.margins(comparison)._repr_mimebundle_()[0], numbers)
