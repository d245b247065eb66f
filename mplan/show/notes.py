"""Words of a plan as HTML: verdict, findings, provenance, and what stands in for a panel.

Colours are the page's own, so that they suit a light page and a dark one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from itertools import takewhile

from mplan.checks.finding import Finding
from mplan.comparing import FindingPair, records
from mplan.plan import Plan
from mplan.show.drawn import palette
from mplan.show.gist import lines
from mplan.show.told import Named, TextDifference, Told, against

LEFT = '"text-align:left"'
CLOSE = "margin:0.25em 0; line-height:1.4"  # a widget's own lines stand twice as far apart
INK = "#111111"  # on the colours below, 4.5 to 1 and more
BADGE = "border:1px solid; border-radius:3px; padding:1px 8px; white-space:nowrap; font-weight:bold"
PILL = (
    "border:1px solid; border-radius:8px; padding:0 5px; font-size:88%; font-weight:normal; "
    "font-style:italic; white-space:{}"
)
LONG = 30  # letters, from which on a difference may break into lines
SHAPES = {
    "square": '<svg width="14" height="14" viewBox="0 0 14 14" style="vertical-align:-2px">'
    '<rect width="14" height="14" rx="2" fill="#111"/>'
    '<path d="M3 7l3 3 5-6" fill="none" stroke="#fff" stroke-width="2"/></svg>',
    "circle": '<svg width="14" height="14" viewBox="0 0 14 14" style="vertical-align:-2px">'
    '<circle cx="7" cy="7" r="7" fill="#111"/>'
    '<path d="M4.8 5.2a2.2 2.2 0 1 1 2.9 2.2l-.7.5v1M7 10v1.6" fill="none" stroke="#fff" '
    'stroke-width="1.5"/></svg>',
    "triangle": '<svg width="16" height="14" viewBox="0 0 16 14" style="vertical-align:-2px">'
    '<path d="M8 0l8 14H0z" fill="#111"/>'
    '<path d="M8 5v4.5M8 10.7v1.8" fill="none" stroke="#fff" stroke-width="1.8"/></svg>',
}
PANEL = "Run this cell in JupyterLab to move the sliders."
MARKS = {"stops the flight": "✕", "needs a decision": "?", "for information": "i"}


def verdict(plan: Plan) -> str:
    """Return whether the plan closes: by a shape and a word on its colour, and in a sentence."""
    shape, word, colour = closing(plan)
    look = f"background:{colour}; color:{INK}; {BADGE}"
    badge = f'<span aria-hidden="true" style="{look}">{SHAPES[shape]} {word}</span>'
    style = f"font-size:115%; {CLOSE}"
    return f'<p role="status" style="{style}">{badge} <b>{escape(plan.verdict)}</b></p>'


def closing(plan: Plan) -> tuple[str, str, str]:
    """Return shape, word and colour of whether a plan closes, and leaves nothing to decide."""
    if not plan.closes:
        return "triangle", "DOES NOT CLOSE", palette.VERMILION
    if plan.decisions_open:
        return "circle", "CLOSES, DECISIONS OPEN", palette.ORANGE
    return "square", "CLOSES", palette.GREEN


def compared(differences: Iterable[tuple[str, TextDifference]], name: str) -> str:
    """Return a line of what differs from what is called so."""
    said = [f"{escape(what)} {pill(apart)}".strip() for what, apart in differences]
    body = f"Compared with {escape(name)}: {'; '.join(said) or 'the verdict is the same'}."
    return f'<p style="{CLOSE}">{body}</p>'


def same_as(name: str) -> str:
    """Return a line that what is shown is what is called so."""
    return f'<p style="{CLOSE}">As in {escape(name)}.</p>'


def pill(apart: TextDifference) -> str:
    """Return a difference, framed; it is read aloud in words."""
    spoken = f'role="img" aria-label="{escape(apart.spoken)}"'
    wraps = "normal" if len(apart.text) > LONG else "nowrap"
    return f'<span {spoken} style="{PILL.format(wraps)}">{escape(apart.text)}</span>'


def differing(text: str, before: str) -> str:
    """Return a text, behind each of its figures the difference from the text before."""
    return "".join(
        f"{escape(piece)} {pill(apart)}" if apart else escape(piece)
        for piece, apart in against(text, before)
    )


def gist(plan: Plan, then: Sequence[str]) -> str:
    """Return dates, places and masses in a few lines, with what differs from those `then`."""
    pairs = [(x, _same(x, then)) for x in lines(plan)]
    return "".join(f'<p style="{CLOSE}">{_beside(*pair)}</p>' for pair in pairs)


def _same(text: str, others: Iterable[str]) -> str:
    """Return the line of another plan that tells the same; "" where there is none.

    The one with the same words before its first number; else the only one that begins alike, in
    which a name may be another.
    """
    alike = [x for x in others if _begin(x) == _begin(text)]
    named = [x for x in alike if _before_numbers(x) == _before_numbers(text)]
    return (named or (alike if len(alike) == 1 else []) or [""])[0]


def _begin(text: str) -> str:
    """Return the words that a line begins with."""
    return str(text.parts[0]) if isinstance(text, Told) else text


def _before_numbers(text: str) -> str:
    if not isinstance(text, Told):
        return text
    return "".join(map(str, takewhile(lambda x: isinstance(x, (str, Named)), text.parts)))


def _beside(text: str, before: str) -> str:
    new = TextDifference("new", "new")
    return differing(text, before) if before else f"{escape(text)} {pill(new)}"


def facts(known: Mapping[str, str], before: Mapping[str, str]) -> str:
    """Return names and what is known of them in one line, with what differs from before."""
    if not known:
        return ""
    parts = [
        f"{escape(name)} <b>{_beside(value, before.get(name, ''))}</b>"
        for name, value in known.items()
    ]
    return f'<p style="{CLOSE}">{"; ".join(parts)}.</p>'


def steered(kept: str, *, waits: bool) -> str:
    """Return how the climb is steered: as another one, if `kept` says so, or optimised.

    `waits` if it will be optimised when the sliders rest.
    """
    words = kept or "optimised for most propellant at insertion"
    more = "; it is optimised as soon as the sliders rest" if kept and waits else ""
    return f'<p style="{CLOSE}">The climb is {escape(words)}{more}.</p>'


def findings(plan: Plan, before: Plan | None = None) -> str:
    """Return the findings as a list, each with the remedies that were flown.

    Beside those of a plan `before`, new and changed ones are marked, and what is gone is named.
    """
    pairs = records.findings(plan if before is None else before, plan)
    items = "".join(_compared(pair) for pair in pairs)
    if not items:
        return f'<p style="{CLOSE}">Findings: none, all checks passed.</p>'
    return f'<ul style="line-height:1.4">{items}</ul>'


def _compared(pair: FindingPair) -> str:
    """Return one finding, marked by what has become of it."""
    word = {"gained": "new", "lost": "gone", "changed": "changed"}.get(pair.what)
    mark = f"{pill(TextDifference(word, word))} " if word else ""
    if pair.b is None:
        gone = "" if pair.a is None else escape(pair.a.text)
        return f"<li>{mark}<s>{gone}</s></li>"
    return _finding(pair.b, mark)


def _finding(finding: Finding, mark: str) -> str:
    remedies = "".join(
        f"<li>flown: {escape(each.change)}: {escape(each.outcome)}</li>"
        for each in finding.remedies
    )
    if finding.unsolved:
        remedies += f"<li>{escape(finding.unsolved)}</li>"
    more = f"<ul>{remedies}</ul>" if remedies else ""
    return (
        f"<li>{mark}{MARKS[finding.severity]} <b>{finding.severity}</b>: {escape(finding.text)} "
        f"(limit {escape(finding.limit)}, found {escape(finding.found)}; "
        f"basis {escape(finding.basis)}){more}</li>"
    )


def trouble(text: str) -> str:
    """Return a message that something did not work."""
    return f'<p role="alert"><b>✕ {escape(text)}</b></p>'


def remark(text: str) -> str:
    """Return what is said of a move."""
    return f"<p>{escape(text)}</p>"


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
