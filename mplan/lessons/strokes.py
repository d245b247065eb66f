"""Strokes that pictures of lessons share: a curve, a dot that the sliders move, an axis."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Trace
from mplan.show.drawn.palette import Look

HEIGHT = 360  # px
DIGITS = 5  # of a number in a picture


def axis(look: Look, title: str, low: float, high: float) -> dict[str, Any]:
    """Return an axis from `low` to `high`, which stays as it is while sliders move."""
    marks = {"range": [low, high], "fixedrange": True, **rows.ticks(low, high)}
    return palette.axis(look, title={"text": title, "standoff": 6}, **marks)


def curve(
    name: str,
    x: Iterable[float],
    y: Iterable[float | None],
    colour: str,
    dash: str = "solid",
    width: int = 2,
    *,
    legend: bool = True,
) -> Trace:
    """Return a line; None breaks it."""
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": list(map(_short, x)),
        "y": list(map(_short, y)),
        "line": {"color": colour, "dash": dash, "width": width},
        "showlegend": legend,
        "hoverinfo": "x+y+name",
    }


def dot(x: float, y: float, words: str, look: Look, side: str = "top right") -> Trace:
    """Return the dot that the sliders move, with its words."""
    return {
        "type": "scatter",
        "mode": "markers+text",
        "name": "where the sliders stand",
        "x": [_short(x)],
        "y": [_short(y)],
        "text": [f" {words} "],
        "textposition": [side],
        "textfont": {"color": look.ink},
        "marker": {"color": look.bad, "size": 11, "symbol": "diamond"},
        "cliponaxis": False,
        "hoverinfo": "text",
    }


def _short(value: float | None) -> float | None:
    return None if value is None else float(f"{value:.{DIGITS}g}")
