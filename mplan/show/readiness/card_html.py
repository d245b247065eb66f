"""A card as HTML, without tables: it prints in any page, in a notebook as in a report."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from importlib.resources import files

from mplan.flight.record import Flight
from mplan.scenario.wording import plain
from mplan.show.readiness import lines, topics
from mplan.studies.cards import EventCard

BOX = '<span class="tick" aria-hidden="true"></span>'  # to be ticked by hand


def style() -> str:
    """Return the style of cards, which names nothing but what is inside them."""
    return files("mplan.show.readiness").joinpath("cards.css").read_text("utf-8")


def every(cards: Sequence[EventCard], flight: Flight) -> str:
    """Return all cards with their style."""
    return f"<style>{style()}</style>" + "".join(card(each, flight) for each in cards)


def name(of: EventCard) -> str:
    """Return what a card is called in links."""
    return f"card-{of.number}"


def title(of: EventCard) -> str:
    """Return what a card is about, under the ship's name where that is not the main one."""
    return f"{plain(of.ship)}: {of.title}" if of.ship else of.title


def card(of: EventCard, flight: Flight) -> str:
    """Return one card as a section."""
    kind = "burn" if of.is_burn else of.passage.event.do
    head = (
        f'<header><span class="number">{of.number}</span><h3 id="{name(of)}-title">'
        f'{escape(title(of))}</h3><span class="when">{escape(lines.when(of, flight))}</span>'
        f'<span class="what">{escape(kind)}</span></header>'
    )
    return (
        f'<section class="event-card" id="{name(of)}" aria-labelledby="{name(of)}-title">{head}'
        f'<div class="halves">{_facts(of)}{_limits(of)}</div>{_fails(of)}{_cautions(of)}</section>'
    )


def _facts(of: EventCard) -> str:
    told = "".join(f"<dt>{escape(x)}</dt><dd>{escape(y)}</dd>" for x, y in lines.facts(of))
    return f'<div class="fly"><h4>Fly</h4><dl>{told}</dl></div>'


def _limits(of: EventCard) -> str:
    if not of.limits:
        return '<div class="go"><h4>Go if</h4><p>no limit of its own</p></div>'
    told = "".join(f"<li>{BOX}{escape(lines.go_if(x))}</li>" for x in of.limits)
    return f'<div class="go"><h4>Go if, else no-go</h4><ul>{told}</ul></div>'


def _fails(of: EventCard) -> str:
    told = "".join(
        f"<dt>{escape(x)}</dt><dd>{escape(y)}</dd>" if x else f"<dd>{escape(y)}</dd>"
        for x, y in lines.fails(of)
    )
    return f'<div class="fails"><h4>If it fails</h4><dl>{told}</dl></div>'


def _cautions(of: EventCard) -> str:
    return f'<p class="caution">{escape(" ".join(topics.cautions(of)))}</p>'
