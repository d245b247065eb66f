"""What workbook cells show besides pictures: tables as people read them, and words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape

import pandas as pd

from mplan.cautions import CAUTIONS
from mplan.plan import Plan
from mplan.show import interrupted, notes, provenance, tables

NO_FORMULAS = "tex2jax_ignore mathjax_ignore"  # a dollar sign in a name begins none
SHORT = 24  # characters
BROAD = 9  # columns, from which on a table is set closer and keeps its first one in sight
KEPT = "position:sticky; left:0; background:var(--jp-layout-color0, var(--paper, Canvas))"
STRIPE = KEPT.replace("layout-color0", "rendermime-table-row-background")  # JupyterLab's even rows

interrupted.in_a_line()


class Words:
    """Text in two dresses: HTML for a notebook, plain for everything else.

    `carried` is data by its kind, for programs that read the executed workbook.
    """

    def __init__(self, html: str, text: str) -> None:
        """Keep both."""
        self.html, self.text = html, text
        self.carried: Mapping[str, str | None] = {}

    def _repr_mimebundle_(self, **_asked: object) -> dict[str, str]:
        return {kind: text for kind, text in self.carried.items() if text is not None}

    def _repr_html_(self) -> str:
        return f'<div class="{NO_FORMULAS}">{self.html}</div>'

    def __repr__(self) -> str:
        """Return the plain text."""
        return self.text


class Table(Words):
    """A table as people read it; `frame` has the same rows as numbers, for files."""

    def __init__(self, frame: pd.DataFrame, empty: str = "none") -> None:
        """Write the columns with their decimals, numbers to the right; `empty` if no row is."""
        self.frame = frame
        if frame.empty:
            super().__init__(f"<p>{escape(empty)}</p>", empty)
        else:
            written = tables.written(frame)
            super().__init__(_html(frame, written), written.to_string(index=False))


def _html(frame: pd.DataFrame, written: pd.DataFrame) -> str:
    sides = ["right" if pd.api.types.is_numeric_dtype(frame[name]) else "left" for name in frame]
    styles = [f"text-align:{side}" for side in sides]
    broad = len(sides) >= BROAD
    if broad:
        styles = [f"{style}; padding:0.3em 0.4em" for style in styles]
    kept = (f"; {KEPT}", f"; {STRIPE}") if broad else ("", "")
    head = _row("th", frame.columns, styles, kept[0])
    rows = enumerate(written.itertuples(index=False))
    body = "".join(_row("td", row, styles, kept[index % 2]) for index, row in rows)
    small = ' style="font-size:92%"' if broad else ""
    return f"<table{small}><thead>{head}</thead><tbody>{body}</tbody></table>"


def _row(tag: str, cells: Iterable[str], styles: list[str], first: str) -> str:
    """Return a row; `first` is the style that its first cell has beside its column's."""
    pairs = zip(cells, [styles[0] + first, *styles[1:]], strict=True)
    return f"<tr>{''.join(_cell(tag, *pair) for pair in pairs)}</tr>"


def _cell(tag: str, text: str, style: str) -> str:
    """Return a cell: a short one, as a date, is not broken into lines, a long one not squeezed.

    Headings break between words, into some three lines at most, and no word of theirs is broken.
    """
    whole = "; white-space:nowrap" if len(text) <= SHORT else f"; min-width:{SHORT}ch"
    heading = f"; word-break:normal; overflow-wrap:normal; min-width:{-(-len(text) // 3)}ch"
    lines = whole if tag == "td" else heading
    return f'<{tag} style="{style}{lines}">{escape(text)}</{tag}>'


def verdict(plan: Plan) -> Words:
    """Return whether the plan closes."""
    return Words(notes.verdict(plan), plan.verdict)


def findings(plan: Plan) -> Words:
    """Return what the checks found, with the remedies that were flown."""
    text = "\n".join(f"{each.severity}: {each.text}" for each in plan.findings)
    return Words(notes.findings(plan), text or "none: all checks passed")


def made_from(plan: Plan) -> Words:
    """Return where the numbers come from: scenario, versions, ephemeris, integrator, date."""
    return facts(provenance.of(plan))


def facts(known: Mapping[str, str]) -> Words:
    """Return names and what is known of them, a row each."""
    rows = "".join(
        f'<tr><th style="text-align:left">{escape(name)}</th>'
        f'<td style="text-align:left">{escape(value)}</td></tr>'
        for name, value in known.items()
    )
    text = "\n".join(f"{name}: {value}" for name, value in known.items())
    return Words(f"<table><tbody>{rows}</tbody></table>", text)


def sentence(text: str) -> Words:
    """Return a sentence, where a question does not arise or has no table for an answer."""
    return Words(f"<p>{escape(text)}</p>", text)


def together(*parts: Words) -> Words:
    """Return sentences and tables below one another."""
    return Words("".join(x.html for x in parts), "\n".join(x.text for x in parts))


def cautions() -> Words:
    """Return what these numbers are not for."""
    items = "".join(f"<li>{escape(each)}</li>" for each in CAUTIONS)
    return Words(f"<ul>{items}</ul>", "\n".join(CAUTIONS))
