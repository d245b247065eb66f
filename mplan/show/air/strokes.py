"""Strokes that the pictures of the entry share: curves, marks with words, axes from zero."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil
from typing import Any

from mplan.flight.entry import Entry
from mplan.plan import Plan
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Trace
from mplan.show.drawn.palette import Look

WIDTH = 640  # px, in a panel
TICKS = 9  # at most, on an axis
STEPS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 1000.0)


def entry_of(plan: Plan) -> Entry:
    """Return the entry of a plan; ValueError where none was flown."""
    entry = plan.flight.end.entry
    if entry is None:
        raise ValueError("this mission's entry is not flown")
    return entry


def curve(
    name: str,
    x: Iterable[float],
    y: Iterable[float],
    colour: str,
    dash: str = "solid",
    digits: int = 3,
) -> Trace:
    """Return a line through points, rounded to what a pixel shows."""
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": [round(float(each), 3) for each in x],
        "y": [round(float(each), digits) for each in y],
        "line": {"color": colour, "dash": dash, "width": 2},
        "hovertemplate": "%{x:.2f}: %{y:.2f}<extra>" + name + "</extra>",
    }


def marks(
    points: Sequence[tuple[float, float, str, str]], look: Look, colour: str | None = None
) -> Trace:
    """Return dots, each of x, y, its words and the side they stand on."""
    return {
        "type": "scatter",
        "mode": "markers+text",
        "x": [round(point[0], 3) for point in points],
        "y": [round(point[1], 3) for point in points],
        "text": [f" {point[2]} " for point in points],
        "textposition": [point[3] for point in points],
        "textfont": {"color": look.ink, "size": palette.TEXT_SIZE - 1},
        "marker": {"color": colour or look.ink, "size": 7, "symbol": "circle"},
        "showlegend": False,
        "cliponaxis": False,
        "hoverinfo": "text",
    }


def axis(look: Look, title: str, top: float, *, bottom: float = 0.0) -> dict[str, Any]:
    """Return an axis from `bottom` to just above `top`, with few round ticks."""
    step = _step(top - bottom)
    last = ceil(top / step)
    ticks = [round(i * step, 6) for i in range(round(bottom / step), last + 1)]
    return palette.axis(
        look,
        title={"text": title, "standoff": 6},
        range=[bottom, ticks[-1]],
        tickvals=ticks,
        ticktext=[f"{tick:g}" for tick in ticks],
        fixedrange=True,
    )


def _step(span: float) -> float:
    """Return the smallest round step that gives no more ticks than are read at a glance."""
    return next(step for step in STEPS if span / step < TICKS)
