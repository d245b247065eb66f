"""The page to print: index, readiness sheet, then the cards, two a sheet of paper or one."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from importlib.resources import files
from itertools import groupby

from mplan.cautions import CAUTIONS
from mplan.plan import Plan
from mplan.show import provenance
from mplan.show.columns import clock
from mplan.show.readiness import card_html, rows
from mplan.show.readiness.states import marked
from mplan.studies.cards import EventCard

PARTS = {
    "decision": "Verdict and findings",
    "margin": "Margins of burns",
    "limit": "Limits",
    "counter": "Counters",
    "contact": "Contact and radio links",
    "date": "Dates",
}
# Also in a notebook, where the page's style is not.
LEFT, WHOLE = 'style="text-align:left"', 'style="text-align:left; white-space:nowrap"'


def page(plan: Plan, cards: Sequence[EventCard], *, whole: int | None = None) -> str:
    """Return the page as HTML that needs nothing from outside.

    `whole` is how many cards there would be, where making them was stopped.
    """
    name = plan.scenario.mission.name
    style = files("mplan.show.readiness").joinpath("page.css").read_text("utf-8")
    left_out = ""
    if whole is not None and whole > len(cards):
        text = f"Stopped: {len(cards)} of {whole} cards are here."
        left_out = f'<p class="stopped"><strong>{text}</strong></p>'
    body = [
        f'<header class="top"><h1>{escape(name)}: readiness and cards</h1>',
        f"<p>{escape(plan.verdict)}</p>{left_out}{_cautions()}</header>",
        _index(cards),
        _sheet(plan),
        '<section class="cards"><h2>Cards</h2>',
        *(f"<p>{escape(text)}</p>" for text in _limits_from(cards)),
        f"{card_html.every(cards, plan.flight)}</section>",
        _origin(plan),
    ]
    head = (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(name)}: readiness and cards</title><style>{style}</style></head>"
    )
    return f"{head}<body>{''.join(body)}</body></html>\n"


def _cautions() -> str:
    listed = "".join(f"<li>{escape(x)}</li>" for x in CAUTIONS)
    return f'<div class="cautions"><ul>{listed}</ul></div>'


def _limits_from(cards: Sequence[EventCard]) -> list[str]:
    return [f"Go and no-go limits: {text}." for text in dict.fromkeys(x.limits_from for x in cards)]


def _index(cards: Sequence[EventCard]) -> str:
    """Return the list of all cards with their times since lift-off, each a link."""
    listed = "".join(
        f'<li><span class="number">{x.number}</span><span class="since">{clock(x.elapsed)}</span>'
        f'<a href="#{card_html.name(x)}">{escape(card_html.title(x))}</a></li>'
        for x in cards
    )
    return (
        '<section class="index"><h2>Index</h2><p><a href="#sheet">Readiness sheet</a>; cards, by '
        f"the time since lift-off:</p><ol>{listed}</ol></section>"
    )


def _sheet(plan: Plan) -> str:
    found = rows.every_row(plan)
    return (
        '<section class="sheet" id="sheet"><h2>Readiness sheet</h2>'
        f"<p>{escape(rows.summary(found))}</p>{parts(found)}</section>"
    )


def parts(found: Sequence[rows.ReadinessRow]) -> str:
    """Return the tables of the sheet, part by part, each under its title."""
    return "".join(
        _part(PARTS[part], list(each)) for part, each in groupby(found, lambda row: row.part)
    )


def _part(title: str, found: list[rows.ReadinessRow]) -> str:
    """Return a part of the sheet, without the columns in which nothing stands."""
    every = [(x.header, x.value) for x in rows.COLUMNS if x.header not in ("part", "state")]
    kept = [(name, value) for name, value in every if any(value(row) for row in found)]
    head = "".join(f'<th class="{x}" {LEFT}>{x}</th>' for x, _ in kept)
    body = "".join(
        f'<tr class="{row.state.replace(" ", "-")}">'
        f'<td class="state" {WHOLE}>{marked(row.state)}</td>'
        + "".join(f"<td>{escape(value(row))}</td>" for _, value in kept)
        + "</tr>"
        for row in found
    )
    head = f'<tr><th class="state" {LEFT}>state</th>{head}</tr>'
    return f"<h3>{title}</h3><table><thead>{head}</thead><tbody>{body}</tbody></table>"


def _origin(plan: Plan) -> str:
    told = "".join(
        f"<dt>{escape(str(x))}</dt><dd>{escape(str(y))}</dd>"
        for x, y in provenance.of(plan).items()
    )
    return f'<section class="origin"><h2>Made from</h2><dl>{told}</dl></section>'
