"""What pictures over the mission's days share: lines in steps, shaded bands, axes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from mplan.physics.constants import DAY
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Trace
from mplan.show.drawn.palette import Look

DASHES = ("solid", "dash", "dot", "dashdot")
MOST = 900  # points of a curve


def curve(
    name: str, t: np.ndarray, y: np.ndarray, colour: str, dash: str, hover: str, digits: int = 3
) -> Trace:
    """Return a line over `t` (n,) [s since lift-off], thinned to what can be seen.

    Turning points stay: what is least or most between two points that are kept.
    """
    kept = thinned(y)
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": [round(x, 4) for x in (t[kept] / DAY).tolist()],
        "y": [round(x, digits) for x in y[kept].tolist()],
        "line": {"color": colour, "width": 2, "dash": dash},
        "hovertemplate": f"{hover}<extra>{name}</extra>",
    }


def thinned(y: np.ndarray) -> np.ndarray:
    """Return the indices of the points to draw: ends, lowest and highest of equal pieces."""
    if len(y) <= MOST:
        return np.arange(len(y))
    pieces = np.array_split(np.arange(len(y)), MOST // 3)
    found = [(p[0], p[int(np.argmin(y[p]))], p[int(np.argmax(y[p]))]) for p in pieces]
    return np.unique([*np.ravel(found), len(y) - 1])


def band(name: str, end: float, low: float, high: float, look: Look) -> Trace:
    """Return a hatched band from `low` to `high`, from lift-off to `end` [s]."""
    last = end / DAY
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": [0.0, last, last, 0.0, 0.0],
        "y": [low, low, high, high, low],
        "fill": "toself",
        "fillcolor": palette.CLEAR,
        "fillpattern": {"shape": "/", "fgcolor": look.quiet, "size": 8, "solidity": 0.15},
        "line": {"color": look.quiet, "width": 1, "dash": "solid"},
        "hoverinfo": "name",
    }


def level(name: str, end: float, value: float, look: Look) -> Trace:
    """Return a level line from lift-off to `end` [s]."""
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": [0.0, round(end / DAY, 4)],
        "y": [value, value],
        "line": {"color": look.bad, "width": 2, "dash": "dash"},
        "hoverinfo": "name",
    }


def axes(
    look: Look,
    title: str,
    reach: Sequence[float] | None = None,
    ticks: Sequence[float] = (),
) -> dict[str, Any]:
    """Return both axes: days since lift-off, and what is told of them."""
    more: dict[str, Any] = {} if reach is None else {"range": list(reach)}
    if len(ticks):
        more |= {"tickvals": list(ticks), "ticktext": [f"{x:g}" for x in ticks]}
    across = {"text": "since lift-off [d]", "standoff": 6}
    return {
        "x": palette.axis(look, title=across, fixedrange=True),
        "y": palette.axis(look, title={"text": title, "standoff": 6}, fixedrange=True, **more),
    }
