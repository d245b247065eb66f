"""Delta-v over start and time of flight: a number in every cell, its colour as well."""

from __future__ import annotations

from datetime import date

import numpy as np

from mplan.physics.constants import HOUR
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.maps import Map

ROW, EDGES = 30, 110  # px: a time of flight, and what stands above and below
WIDTH = 860  # px, in a panel
WORDS = 15  # columns that have room for their numbers
MIDDLE = 0.48  # of the scale: cells below it are dark
PALE, DARK = palette.PALE, "#111111"  # words on the cells, the same on any page
NO_ARC = "no arc"


def drawing(costs: Map, what: str, theme: Theme | None = None) -> Drawing:
    """Return the map; `what` says whose delta-v it is."""
    look = palette.look(theme)
    return Drawing(
        traces=[_cells(costs, what, look), _numbers(costs, look), _cheapest(costs, look)],
        x=palette.axis(
            look,
            title={"text": _start_title(costs), "standoff": 6},
            tickvals=list(range(len(costs.starts))),
            ticktext=[_start(each) for each in costs.starts],
            range=[-0.5, len(costs.starts) - 0.5],
            showgrid=False,
            fixedrange=True,
        ),
        y=palette.axis(
            look,
            title={"text": "time of flight [h]", "standoff": 6},
            tickvals=list(range(len(costs.flights))),
            ticktext=[f"{each / HOUR:g}" for each in costs.flights],
            range=[-0.5, len(costs.flights) - 0.5],
            showgrid=False,
            fixedrange=True,
        ),
        height=EDGES + ROW * len(costs.flights),
        summary=summary(costs, what),
        look=look,
    )


def summary(costs: Map, what: str) -> str:
    """Return the map in words."""
    if np.all(np.isnan(costs.delta_v)):
        return f"{what}: no arc found."
    flight, start = costs.cheapest()
    return (
        f"{what}, from {np.nanmin(costs.delta_v):,.0f} m/s ({_when(costs.starts[start])}, "
        f"{costs.flights[flight] / HOUR:g} h) to {np.nanmax(costs.delta_v):,.0f} m/s."
    )


def _start(start: date | float) -> str:
    if isinstance(start, date):
        return f"{start:%d %b}"
    return f"{start / HOUR:+g}" if start else "0"


def _when(start: date | float) -> str:
    if isinstance(start, date):
        return _start(start)
    return f"{start / HOUR:g} h later" if start else "as planned"


def _start_title(costs: Map) -> str:
    by_day = isinstance(costs.starts[0], date)
    return "day of lift-off [UTC]" if by_day else "return burn later than planned by [h]"


def _shares(costs: Map) -> np.ndarray:
    """Return where each cell stands between the least (0) and the most (1)."""
    if np.all(np.isnan(costs.delta_v)):
        return costs.delta_v
    least, most = np.nanmin(costs.delta_v), np.nanmax(costs.delta_v)
    return (costs.delta_v - least) / max(most - least, 1e-9)


def _cells(costs: Map, what: str, look: Look) -> Trace:
    z = [[None if np.isnan(x) else round(float(x), 1) for x in row] for row in costs.delta_v]
    return {
        "type": "heatmap",
        "name": what,
        "x": list(range(len(costs.starts))),
        "y": list(range(len(costs.flights))),
        "z": z,
        "colorscale": "Cividis",
        "colorbar": {
            "title": {"text": "delta-v [m/s]", "side": "right"},
            "tickformat": ",d",
            "thickness": 14,
            "outlinewidth": 0,
        },
        "xgap": 1,
        "ygap": 1,
        "hovertemplate": "%{z:,.1f} m/s<extra></extra>",
    }


def _numbers(costs: Map, look: Look) -> Trace:
    """Return the number of each cell, of every second or third column where they are narrow."""
    stride = -(-len(costs.starts) // WORDS)
    shares, rows = _shares(costs), []
    for flight, start in np.ndindex(costs.delta_v.shape):
        value = costs.delta_v[flight, start]
        if np.isnan(value):
            rows.append((start, flight, NO_ARC, look.ink))
        elif start % stride == 0:
            ink = PALE if shares[flight, start] < MIDDLE else DARK
            rows.append((start, flight, f"{value:,.0f}", ink))
    x, y, texts, inks = (list(column) for column in zip(*rows, strict=True))
    return {
        "type": "scatter",
        "mode": "text",
        "x": x,
        "y": y,
        "text": texts,
        "textposition": ["middle center"] * len(texts),
        "textfont": {"color": inks, "size": palette.TEXT_SIZE - 1},
        "showlegend": False,
        "hoverinfo": "skip",
    }


def _cheapest(costs: Map, look: Look) -> Trace:
    """Return a frame round the cheapest cell; its numbers stand in the legend."""
    there = not np.all(np.isnan(costs.delta_v))
    flight, start = costs.cheapest() if there else (0, 0)
    words = f"cheapest: {costs.delta_v[flight, start]:,.1f} m/s, {_when(costs.starts[start])}"
    around = np.array([[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5], [-0.5, -0.5]])
    corners = (np.array([start, flight]) + 0.96 * around).T if there else np.empty((2, 0))
    return {
        "type": "scatter",
        "mode": "lines",
        "name": f"{words}, {costs.flights[flight] / HOUR:g} h" if there else NO_ARC,
        "x": corners[0].tolist(),
        "y": corners[1].tolist(),
        "line": {"color": look.bad, "width": 3, "dash": "solid"},
        "showlegend": True,
        "hoverinfo": "name",
    }
