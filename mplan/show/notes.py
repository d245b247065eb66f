"""Words of a plan as HTML: verdict, findings, provenance, and what stands in for a panel.

Colours are the page's own, so that they suit a light page and a dark one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape

from mplan.checks.finding import Finding
from mplan.plan import Plan
from mplan.show.gist import lines

LEFT = '"text-align:left"'
CLOSE = "margin:0.25em 0; line-height:1.4"  # a widget's own lines stand twice as far apart
PANEL = "Run this cell in JupyterLab to move the sliders."
MARKS = {"stops the flight": "✕", "needs a decision": "?", "for information": "i"}


def verdict(plan: Plan) -> str:
    """Return whether the plan closes, marked by a sign (? with decisions open) and in words."""
    sign = "✕" if not plan.closes else "?" if plan.decisions_open else "✓"
    style = f"font-size:115%; {CLOSE}"
    return f'<p role="status" style="{style}"><b>{sign} {escape(plan.verdict)}</b></p>'


def gist(plan: Plan) -> str:
    """Return dates, places and masses in a few lines."""
    return "".join(f'<p style="{CLOSE}">{escape(x)}</p>' for x in lines(plan))


def line(known: Mapping[str, str]) -> str:
    """Return names and what is known of them in one line, which breaks between them."""
    parts = (f"{escape(name)} <b>{escape(value)}</b>" for name, value in known.items())
    return f'<p style="{CLOSE}">{"; ".join(parts)}.</p>'


def steered(kept: str, *, waits: bool) -> str:
    """Return how the climb is steered: as another one, if `kept` says so, or optimised.

    `waits` if it will be optimised when the sliders rest.
    """
    words = kept or "optimised for most propellant at insertion"
    more = "; it is optimised as soon as the sliders rest" if kept and waits else ""
    return f'<p style="{CLOSE}">The climb is {escape(words)}{more}.</p>'


def findings(plan: Plan) -> str:
    """Return the findings as a list, each with the remedies that were flown."""
    if not plan.findings:
        return f'<p style="{CLOSE}">Findings: none, all checks passed.</p>'
    items = "".join(map(_finding, plan.findings))
    return f'<ul style="line-height:1.4">{items}</ul>'


def _finding(finding: Finding) -> str:
    remedies = "".join(
        f"<li>flown: {escape(each.change)}: {escape(each.outcome)}</li>"
        for each in finding.remedies
    )
    if finding.unsolved:
        remedies += f"<li>{escape(finding.unsolved)}</li>"
    more = f"<ul>{remedies}</ul>" if remedies else ""
    return (
        f"<li>{MARKS[finding.severity]} <b>{finding.severity}</b>: {escape(finding.text)} "
        f"(limit {escape(finding.limit)}, found {escape(finding.found)}; "
        f"basis {escape(finding.basis)}){more}</li>"
    )


def trouble(text: str) -> str:
    """Return a message that something did not work."""
    return f'<p role="alert"><b>✕ {escape(text)}</b></p>'


def question(text: str) -> str:
    """Return what is asked before something is done."""
    return f'<p role="alert"><b>? {escape(text)}</b></p>'


def still_rows(rows: Iterable[tuple[str, str, str]]) -> str:
    """Return how to have the panel back, and its sliders: what each is, stands at and spans."""
    body = "".join(
        f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in row)}</tr>" for row in rows
    )
    titles = ("slider", "stands at", "spans")
    head = f"<tr>{''.join(f'<th style={LEFT}>{title}</th>' for title in titles)}</tr>"
    return f"<p>{PANEL}</p><table><thead>{head}</thead><tbody>{body}</tbody></table>"
