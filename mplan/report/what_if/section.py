"""The part of a report's page in which a reader sets levers and sees what that does."""

from __future__ import annotations

from html import escape
from importlib.resources import files
from string import Template
from typing import Any

from mplan.report.what_if.document import Document, text
from mplan.show.drawn import palette

TITLE = "What if?"


def section(told: Document) -> str:
    """Return the HTML, with its own style, data and script; nothing is asked from outside."""
    template = Template(_own("what_if.html"))
    return template.substitute(
        title=TITLE,
        style=Template(_own("what_if.css")).substitute(_colours()),
        count=len(told["flights"]),
        levers="".join(_lever(i, each) for i, each in enumerate(told["levers"])),
        data=text(told),
        script=_own("what_if.js"),
    )


def _own(name: str) -> str:
    return files("mplan.report.what_if").joinpath(name).read_text("utf-8")


def _colours() -> dict[str, str]:
    """Return the colours of light and dark pages, by the names they have in the style."""
    names = (
        *("main", "second", "good", "bad", "quiet", "faint", "on_main", "on_second"),
        *("earth", "moon", "climb", "outbound", "lunar_orbit", "surface", "homeward"),
    )
    return {
        f"{theme}_{name}": getattr(look, name)
        for theme, look in palette.LOOKS.items()
        for name in names
    }


def _lever(number: int, lever: dict[str, Any]) -> str:
    """Return one slider with its label, what it stands at, its stops and a button to reset it."""
    title, stops, home = escape(lever["title"]), lever["stops"], lever["home"]
    marks = "".join(f'<span data-stop="{i}"></span>' for i in range(len(stops)))
    note = f'<p class="wi-note">{escape(lever["note"])}</p>' if lever["note"] else ""
    return (
        f'<div class="wi-lever" data-lever="{number}">'
        f'<label for="wi-{number}">{title}</label>'
        f'<output for="wi-{number}">{escape(stops[home])}</output>'
        f'<button type="button" disabled aria-label="Set {title} back to the plan\'s">↺</button>'
        f'<input type="range" id="wi-{number}" min="0" max="{len(stops) - 1}" step="1" '
        f'value="{home}" autocomplete="off" aria-valuetext="{escape(stops[home])}, as in the plan">'
        f'<div class="wi-stops" aria-hidden="true">{marks}</div>'
        f'<p class="wi-span">{escape(stops[0])} to {escape(stops[-1])}</p>{note}</div>'
    )
