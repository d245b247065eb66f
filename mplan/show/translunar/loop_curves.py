"""Arcs round the Moon without a burn there: when they arrive, and how they return."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from mplan.physics.constants import HOUR
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.loops import Loop

HEIGHT, WIDTH = 420, 860  # px, the width in a panel
HIGHEST = 40_000.0  # km: what passes further out is of no use for coming home
DASHES = ("solid", "dash", "dot")
LOWEST = -9_000.0  # km


def drawing(
    curves: Mapping[float, Sequence[Loop]], free: Sequence[Loop], theme: Theme | None = None
) -> Drawing:
    """Return a curve for each perilune altitude [m], and the free returns as marks."""
    look = palette.look(theme)
    colours = (look.main, look.bad, look.good)
    times = [each.translunar_time / HOUR for curve in curves.values() for each in curve]
    times += [each.translunar_time / HOUR for each in free]
    reach = [min(times, default=60.0) - 1.0, max(times, default=90.0) + 1.0]
    return Drawing(
        traces=[
            _ground(reach, look),
            *(
                _curve(altitude, curve, style)
                for (altitude, curve), style in zip(
                    curves.items(), zip(colours, DASHES, strict=True), strict=False
                )
            ),
            _returns(free, look),
        ],
        x=palette.axis(
            look,
            title={"text": "injection to perilune [h]", "standoff": 6},
            range=reach,
            fixedrange=True,
        ),
        y=palette.axis(
            look,
            title={"text": "perigee of the way back, altitude [km]", "standoff": 6},
            range=[LOWEST, HIGHEST],
            tickvals=[0, 10_000, 20_000, 30_000, 40_000],
            ticktext=["0", "10,000", "20,000", "30,000", "40,000"],
            fixedrange=True,
        ),
        height=HEIGHT,
        summary=summary(free),
        look=look,
    )


def summary(free: Sequence[Loop]) -> str:
    """Return the picture in words."""
    if not free:
        return "No free return found past any of these altitudes on this day."
    texts = [f"{x.perilune / 1e3:,.0f} km in {x.translunar_time / HOUR:.1f} h" for x in free]
    found = ", ".join(texts)
    return f"Free returns to the entry angle, by perilune above the 1737.4 km sphere: {found}."


def _ground(reach: list[float], look: Look) -> Trace:
    left, right = reach
    return {
        "type": "scatter",
        "mode": "lines",
        "name": "would meet the ground",
        "x": [left, right, right, left, left],
        "y": [LOWEST, LOWEST, 0.0, 0.0, LOWEST],
        "fill": "toself",
        "fillcolor": look.faint,
        "line": {"color": look.quiet, "width": 1, "dash": "solid"},
        "hoverinfo": "name",
    }


def _curve(altitude: float, curve: Sequence[Loop], style: tuple[str, str]) -> Trace:
    """Return the curve of one altitude; where it is not drawn, it passes higher."""
    heights = [each.return_perigee / 1e3 for each in curve]
    return {
        "type": "scatter",
        "mode": "lines",
        "name": f"past the Moon at {altitude / 1e3:,.0f} km",
        "x": [round(each.translunar_time / HOUR, 3) for each in curve],
        "y": [round(height, 1) if height < HIGHEST else None for height in heights],
        "line": {"color": style[0], "dash": style[1], "width": 2},
        "hovertemplate": "%{x:.1f} h: %{y:,.0f} km<extra></extra>",
    }


def _returns(free: Sequence[Loop], look: Look) -> Trace:
    return {
        "type": "scatter",
        "mode": "markers+text",
        "name": "free return",
        "x": [round(each.translunar_time / HOUR, 3) for each in free],
        "y": [round(each.return_perigee / 1e3, 1) for each in free],
        "text": [f" {each.translunar_time / HOUR:.1f} h " for each in free],
        "textposition": ["bottom right"] * len(free),
        "hovertext": [f"past the Moon at {each.perilune / 1e3:,.0f} km" for each in free],
        "textfont": {"color": look.ink},
        "marker": {"symbol": "diamond", "size": 9, "color": look.ink},
        "cliponaxis": False,
        "hoverinfo": "text",
    }


def times(free: Sequence[Loop], around: float = 14.0 * HOUR, count: int = 15) -> list[float]:
    """Return the translunar times [s] over which curves tell something: those of free returns."""
    middles = [each.translunar_time for each in free] or [72.0 * HOUR]
    return np.linspace(min(middles) - around, max(middles) + around / 2.0, count).tolist()
