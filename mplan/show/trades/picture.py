"""A study drawn: each case by two of its figures, those that none beats joined by a line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Picture, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.trades.tables import headed, on_front
from mplan.show.trades.words import summary
from mplan.studies.trades import CaseRow, Trades

HEIGHT = 460  # px
DIGITS = 4  # decimals kept in the file
BETTER = {"least": "less", "most": "more"}


def fronts(found: Trades, *, theme: Theme | None = None) -> Picture:
    """Return the cases by the first two objectives, or figures told where there are none.

    ValueError where a study has fewer than two figures to draw by.
    """
    return Picture(drawing(found, theme))


def drawing(found: Trades, theme: Theme | None = None) -> Drawing:
    """Return the picture of `fronts`."""
    look, (x, y) = palette.look(theme), _drawn_by(found)
    known = [row for row in found.rows if {x, y} <= row.outcome.figures.keys()]
    best = on_front(found)
    there = {row.number for row in best}
    closes = [row for row in known if row.outcome.closes and row.number not in there]
    does_not = [row for row in known if not row.outcome.closes]
    traces = [
        _points(found, does_not, x, y, "does not close", "square-open", look.bad, look),
        _points(found, closes, x, y, "closes", "circle-open", look.main, look),
    ]
    if found.study.objectives:
        joined = "lines+markers" if len(found.study.objectives) == 2 else "markers"
        drawn = {"mode": joined, "line": {"color": look.second, "width": 1.5, "dash": "dot"}}
        traces.append(
            _points(found, best, x, y, "on the front", "diamond", look.second, look) | drawn
        )
    return Drawing(
        traces,
        x=palette.axis(look, title={"text": _headed(found, x), "standoff": 6}),
        y=palette.axis(look, title={"text": _headed(found, y), "standoff": 6}),
        height=HEIGHT,
        summary=f"{summary(found)}.",
        look=look,
        more={"hovermode": "closest"},
    )


def _drawn_by(found: Trades) -> tuple[str, str]:
    """Return the two figures that a picture is drawn by."""
    names = [each.figure for each in found.study.objectives]
    names += [name for name in found.told if name not in names]
    if len(names) < 2:
        raise ValueError(
            f"two figures make a picture; the study tells {', '.join(names) or 'none'}"
        )
    return names[0], names[1]


def _headed(found: Trades, name: str) -> str:
    known = (row.outcome.figures.get(name) for row in found.rows)
    unit = next((each.unit for each in known if each is not None), "")
    best = next((x.best for x in found.study.objectives if x.figure == name), "")
    return headed(name, unit) + (f", {BETTER[best]} is better" if best else "")


def _points(
    found: Trades,
    rows: Sequence[CaseRow],
    x: str,
    y: str,
    name: str,
    symbol: str,
    colour: str,
    look: Look,
) -> Trace:
    values: list[list[Any]] = [
        [round(row.outcome.figures[of].value, DIGITS) for row in rows] for of in (x, y)
    ]
    return {
        "type": "scatter",
        "mode": "markers",
        "name": name,
        "x": values[0],
        "y": values[1],
        "marker": {"symbol": symbol, "color": colour, "size": 9, "line": {"width": 1.5}},
        "text": [_case(found, row) for row in rows],
        "hovertemplate": "%{text}<br>%{x:,.2f}; %{y:,.2f}<extra>" + name + "</extra>",
    }


def _case(found: Trades, row: CaseRow) -> str:
    pairs = zip(found.study.axes, row.shown, strict=True)
    told = [f"{axis.name}: {value} {axis.unit}" for axis, value in pairs if value is not None]
    return "<br>".join([f"case {row.number}", *told])
