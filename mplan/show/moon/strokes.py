"""Strokes that pictures of the descent and the stay share: lines, marks, and axes with ticks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from mplan.physics.landing.descent import DescentFlight
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Trace
from mplan.show.drawn.palette import Look

Numbers = Sequence[float] | np.ndarray

NO_DESCENT = "No powered descent was flown."


def line(name: str, x: Numbers, y: Numbers, colour: str, dash: str = "solid") -> Trace:
    """Return a line; what is no finite number breaks it."""
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": numbers(x),
        "y": numbers(y),
        "line": {"color": colour, "dash": dash, "width": 2},
        "hovertemplate": f"%{{x:.1f}}: %{{y:.1f}}<extra>{name}</extra>",
    }


def marks(
    name: str,
    x: Numbers,
    y: Numbers,
    texts: Sequence[str],
    sides: Sequence[str],
    look: Look,
    symbol: str = "circle",
) -> Trace:
    """Return marks with their words."""
    return {
        "type": "scatter",
        "mode": "markers+text",
        "name": name,
        "x": numbers(x),
        "y": numbers(y),
        "text": [f" {text} " for text in texts],
        "textposition": list(sides),
        "textfont": {"color": look.ink},
        "marker": {
            "color": look.ink,
            "size": 7,
            "symbol": symbol,
            "line": {"color": look.ink, "width": 1},  # a bare line is drawn by its outline alone
        },
        "cliponaxis": False,
        "hoverinfo": "text",
    }


def numbers(values: Numbers) -> list[float | None]:
    """Return values to three decimals, None for what is none."""
    return [round(float(x), 3) if np.isfinite(x) else None for x in values]


def axis(look: Look, title: str, ticks: Sequence[float] = (), *, reach: Any = None) -> dict:  # noqa: ANN401
    """Return an axis with its title and, where they are given, its ticks and range."""
    more: dict[str, Any] = {"title": {"text": title, "standoff": 6}, "fixedrange": True}
    if len(ticks):
        more |= {"tickvals": list(ticks), "ticktext": [f"{x:g}" for x in ticks]}
        more["range"] = list(reach) if reach else [min(ticks), max(ticks)]
    return palette.axis(look, **more)


def upwards(most: float, parts: int = 5) -> list[float]:
    """Return even ticks from zero past `most`, some five of them."""
    size = 10.0 ** np.floor(np.log10(max(most, 1e-9) / parts))
    step = next(size * x for x in (1.0, 2.0, 5.0, 10.0) if most / (size * x) <= parts)
    return [round(i * step, 9) for i in range(int(np.ceil(most / step - 1e-9)) + 1)]


def begins(descent: DescentFlight) -> list[tuple[str, int]]:
    """Return the phases, each with the point of the track at which it begins."""
    t = descent.track.t
    return [(x.name, int(np.argmin(np.abs(t - x.t)))) for x in descent.phases]
