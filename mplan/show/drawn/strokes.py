"""Strokes that drawings of places share: lines, discs to scale, hours along a path, names."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from mplan.physics import constants as c
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Trace
from mplan.show.drawn.palette import Look

CORNERS = 48  # of a disc
TICK = 12.0 * c.HOUR


def axes(look: Look, across: str, up: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return plotly axes with these titles, a kilometre as long across as it is up."""
    titles = ({"text": text, "standoff": 6} for text in (across, up))
    x, y = (
        palette.axis(look, title=title, tickformat=",d", constrain="domain") for title in titles
    )
    return x, {**y, "scaleanchor": "x"}


def line(
    name: str, places: np.ndarray, colour: str, dash: str, width: int, *, legend: bool = True
) -> Trace:
    """Return a line through places (n, 2) [km]; a place that is not a number breaks it."""
    x, y = whole(places)
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": x,
        "y": y,
        "line": {"color": colour, "dash": dash, "width": width},
        "showlegend": legend,
        "hoverinfo": "name",
    }


def circle(centre: np.ndarray, radius: float) -> np.ndarray:
    """Return places (n, 2) [km] round a centre (2,) [km], at a radius [m]."""
    angles = np.linspace(0.0, 2.0 * np.pi, CORNERS + 1)
    return centre + radius / 1e3 * np.column_stack([np.cos(angles), np.sin(angles)])


def disc(name: str, centre: np.ndarray, radius: float, colour: str) -> Trace:
    """Return a body to scale, its centre (2,) in [km], its radius in [m]."""
    around = line(name, circle(centre, radius), colour, "solid", 1, legend=False)
    return {**around, "fill": "toself", "fillcolor": colour}


def on_tick(t: np.ndarray, begin: float) -> np.ndarray:
    """Tell which of the times [s] lie a whole number of 12 h after `begin` [s]."""
    ticks = (t - begin) / TICK
    return np.abs(ticks - np.round(ticks)) < 1e-9


def hours(
    times: Sequence[float], places: np.ndarray, begin: float, sides: Sequence[str], look: Look
) -> Trace:
    """Return a dot for each time [s] at its place (2,) [km], with its hours since `begin` [s]."""
    texts = [f" {round((t - begin) / c.HOUR)} h " for t in times]
    return {
        **dots("every 12 h", places, texts, sides, look),
        "textfont": {"color": look.ink, "size": palette.TEXT_SIZE - 2},
        "hoverinfo": "text",
    }


def dots(
    name: str, places: np.ndarray, texts: Sequence[str], sides: Sequence[str], look: Look
) -> Trace:
    """Return small dots at places (n, 2) [km], each with its words."""
    x, y = whole(places)
    return {
        "type": "scatter",
        "mode": "markers+text",
        "name": name,
        "x": x,
        "y": y,
        "text": list(texts),
        "textposition": list(sides),
        "textfont": {"color": look.ink},
        "marker": {"color": look.ink, "size": 5, "symbol": "circle"},
        "cliponaxis": False,
        "hoverinfo": "name",
    }


def names(texts: Sequence[str], places: np.ndarray, sides: Sequence[str], look: Look) -> Trace:
    """Return words at places (n, 2) [km]."""
    x, y = whole(places)
    return {
        "type": "scatter",
        "mode": "text",
        "x": x,
        "y": y,
        "text": [f" {text} " for text in texts],
        "textposition": list(sides),
        "textfont": {"color": look.ink},
        "showlegend": False,
        "cliponaxis": False,
        "hoverinfo": "skip",
    }


def whole(places: np.ndarray) -> tuple[list[int | None], list[int | None]]:
    """Return columns of (n, 2) [km] as whole numbers, None for what is none: enough for a pixel."""
    columns = np.round(np.asarray(places, dtype=float)).T
    x, y = ([None if np.isnan(each) else int(each) for each in column] for column in columns)
    return x, y
