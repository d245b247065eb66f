"""A study drawn: each case by two of its figures, those that none beats joined by a line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Picture, Trace
from mplan.show.drawn.palette import Theme
from mplan.show.trades.tables import headed
from mplan.show.trades.words import summary
from mplan.studies.trades import CaseRow, Trades

HEIGHT = 460  # px
DIGITS = 4  # decimals kept in the file
BETTER = {"least": "less", "most": "more"}


def fronts(found: Trades, *, theme: Theme | None = None) -> Picture:
    """Return the cases by the first two objectives, or figures told where there are none.

    ValueError where a study has fewer than two figures to draw by.
    """
    return Picture(drawing(found, theme), "fronts")


def drawing(found: Trades, theme: Theme | None = None) -> Drawing:
    """Return the picture of `fronts`."""
    look, (x, y) = palette.look(theme), _drawn_by(found)
    of_front, closing, others = _sorted(found, x, y)
    traces = [
        _points(others, "does not close", "square-open", look.bad),
        _points(closing, "closes", "circle-open", look.main),
    ]
    if found.study.objectives:
        joined = "lines+markers" if len(found.study.objectives) == 2 else "markers"
        drawn = {"mode": joined, "line": {"color": look.second, "width": 1.5, "dash": "dot"}}
        traces.append(_points(of_front, "on the front", "diamond", look.second) | drawn)
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


class _Point(NamedTuple):
    x: float
    y: float
    words: str


def _sorted(found: Trades, x: str, y: str) -> tuple[list[_Point], list[_Point], list[_Point]]:
    """Return the cases on the front, by `x`, others that close, and those that do not."""
    of_front: list[_Point] = []
    closing: list[_Point] = []
    others: list[_Point] = []
    for row in found.rows:
        figures = row.outcome.figures
        if x in figures and y in figures:
            across, up = (round(figures[name].value, DIGITS) for name in (x, y))
            into = (
                of_front if row.number in found.front else closing if row.outcome.closes else others
            )
            into.append(_Point(across, up, _case(found, row)))
    return sorted(of_front), closing, others


def _points(points: Sequence[_Point], name: str, symbol: str, colour: str) -> Trace:
    return {
        "type": "scatter",
        "mode": "markers",
        "name": name,
        "x": [each.x for each in points],
        "y": [each.y for each in points],
        "marker": {"symbol": symbol, "color": colour, "size": 9, "line": {"width": 1.5}},
        "text": [each.words for each in points],
        "hovertemplate": "%{text}<br>%{x:,.2f}; %{y:,.2f}<extra>" + name + "</extra>",
    }


def _case(found: Trades, row: CaseRow) -> str:
    pairs = zip(found.study.axes, row.shown, strict=True)
    told = [f"{axis.name}: {value} {axis.unit}" for axis, value in pairs if value is not None]
    return "<br>".join([f"case {row.number}", *told])
