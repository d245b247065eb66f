"""What a reader sees first of a mission: verdict, cautions, path, dates, decisions, budget."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from typing import NamedTuple

from mplan.cautions import CAUTIONS
from mplan.checks.finding import Finding
from mplan.comparing import dates
from mplan.flight.record import BurnRecord
from mplan.plan import Plan
from mplan.report.cells import Numbers, chart
from mplan.scenario.severity import WAYS_OUT
from mplan.show import climb, mission, stack
from mplan.show.columns import clock
from mplan.show.drawn.figure import Picture
from mplan.show.mission.burn_bars import label, short_by
from mplan.show.notes import MARKS

HEIGHT = 350  # px, of the picture: the rest of the screen is for what stands beside it
MOST = 3  # findings that are told before the reader is led to all of them
BURNS_OUT = "burns out"


class Judged(NamedTuple):
    """A verdict as a word, a sign and the name of its colour."""

    word: str
    sign: str
    style: str


def judged(*, closes: bool, decisions: int) -> Judged:
    """Return how a plan that closes or not, with so many decisions open, is marked."""
    if not closes:
        return Judged("Does not close", "✕", "stops")
    if decisions:
        return Judged("Closes, with decisions open", "?", "decide")
    return Judged("Closes", "✓", "closes")


def verdict(marked: Judged, text: str) -> str:
    """Return a verdict in word, shape and colour, and the line that says by what."""
    return (
        f'<div class="verdict {marked.style}" role="status"><span class="sign" aria-hidden="true">'
        f"{marked.sign}</span><p><strong>{marked.word}</strong><br>{escape(text)}</p></div>"
    )


def cautions(lines: tuple[str, ...]) -> str:
    """Return what the numbers are not for; the first of the lines stands out."""
    items = "".join(f"<li>{escape(each)}</li>" for each in lines[1:])
    return (
        '<aside class="cautions" aria-label="Cautions">'
        f"<p><strong>{escape(lines[0])}</strong></p><ul>{items}</ul></aside>"
    )


def of(plan: Plan, numbers: Numbers) -> str:
    """Return what a reader sees first of a mission."""
    marked = judged(closes=plan.closes, decisions=plan.decisions_open)
    left = [
        box("picture", "The way", _picture(plan, numbers)),
        box("dates", "Key dates", _dates(plan)),
    ]
    budget = box("burns-at-a-glance", "Budget", _budget(plan))
    decisions = box("decisions", "To decide", _decisions(plan))
    grave = any(finding.rank < 2 for finding in plan.findings)
    right = [decisions, budget] if grave else [budget, decisions]
    said = f'<div class="said">{verdict(marked, plan.verdict)}{cautions(CAUTIONS)}</div>'
    return f"{said}\n{columns(left, right)}"


def columns(left: Sequence[str], right: Sequence[str]) -> str:
    """Return parts of the first screen in two columns, which a phone shows as one."""
    both = (f'<div class="column">{"".join(parts)}</div>' for parts in (left, right))
    return f'<div class="glance">{"".join(both)}</div>'


def box(name: str, title: str, body: str) -> str:
    """Return a part of the first screen under its title; nothing for nothing."""
    if not body:
        return ""
    return (
        f'<section class="box {name}" aria-labelledby="{name}"><h2 id="{name}">{title}</h2>'
        f"{body}</section>"
    )


def _picture(plan: Plan, numbers: Numbers) -> str:
    """Return the way to the Moon and home; of a flight that ends before, as far as it came."""
    shown = (mission.trajectory, climb.altitude, stack.profile)
    pictures = (x for x in (show(plan) for show in shown) if isinstance(x, Picture))
    found = next(pictures, None)
    return "" if found is None else chart(found._repr_mimebundle_()[0], numbers, height=HEIGHT)


def _dates(plan: Plan) -> str:
    if not plan.flight.dated:
        return "<p>None is known: the flight ends before it leaves for the Moon.</p>"
    begun = plan.flight.utc(0.0)
    rows = "".join(
        f'<tr><th scope="row">{escape(each.name)}</th><td>{each.when:%Y-%m-%d %H:%M}</td>'
        f"<td>{clock((each.when - begun).total_seconds())[:-3]}</td></tr>"
        for each in dates.of(plan)
    )
    head = '<th scope="col">event</th><th scope="col">UTC</th><th scope="col">since lift-off</th>'
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _decisions(plan: Plan) -> str:
    """Return what stops the flight and what asks a decision, the gravest first."""
    grave = [finding for finding in plan.findings if finding.rank < 2]
    every = f"<p>{'; '.join(_all_of(plan))}</p>" if plan.findings else ""
    if not grave:
        return f"<p>Nothing stops the flight, and no decision is open.</p>{every}"
    items = "".join(map(_decision, grave[:MOST]))
    return f"<ul>{items}</ul>{every}"


def _all_of(plan: Plan) -> Iterator[str]:
    """Yield links to where every finding stands, and every gap in the ways out."""
    gaps = sum(each.check == WAYS_OUT for each in plan.findings)
    yield f'<a href="#found">All {len(plan.findings) - gaps} findings</a>'
    if gaps:
        yield f'<a href="#ways">{gaps} gap{"s" * (gaps > 1)} in the ways out</a>'


def _decision(finding: Finding) -> str:
    """Return a finding with the first change that was flown and lets the plan close."""
    mends = next((x for x in finding.remedies if x.closes), None)
    said = f"<br>With {escape(mends.change)}: {escape(mends.outcome)}" if mends else ""
    mark = f'<span aria-hidden="true">{MARKS[finding.severity]}</span>'
    return f"<li>{mark} <strong>{finding.severity}</strong>: {escape(finding.text)}{said}</li>"


def _budget(plan: Plan) -> str:
    """Return each burn as a bar of what it takes of what its tanks hold, and the margin left."""
    burns = plan.every_burn
    if not burns:
        return ""
    longest = max(max(x.available, x.required) for x in burns)
    head = (
        '<th scope="col">burn</th><th scope="col">required<br>m/s</th>'
        '<th scope="col" class="bars"><span class="key"><i class="required"></i> required '
        '<i class="left"></i> left in its tanks <i class="short"></i> short</span></th>'
        '<th scope="col">margin<br>m/s</th>'
    )
    rows = "".join(
        f'<tr><th scope="row">{escape(label(burn))}</th><td>{burn.required:,.0f}</td>'
        f'<td class="bars" aria-hidden="true">{"".join(_bar(burn, longest))}</td>'
        f"<td>{BURNS_OUT if burn.burns_out else f'{burn.margin:,.0f}'}</td></tr>"
        for burn in burns
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _bar(burn: BurnRecord, longest: float) -> Iterator[str]:
    """Yield the parts of a bar, each a share of the longest one."""
    paid = min(burn.required, burn.available)
    left = 0.0 if burn.burns_out else max(0.0, burn.available - burn.required)
    for style, size in (("required", paid), ("short", short_by(burn)), ("left", left)):
        if size > 0.0:
            yield f'<i class="{style}" style="width:{100.0 * size / longest:.1f}%"></i>'
