"""Bars lying in rows, one a name: their axes, a part of each bar, a mark, and words beside."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, log10
from typing import Any

from mplan.show.drawn import palette
from mplan.show.drawn.figure import Trace
from mplan.show.drawn.palette import Look


def axes(look: Look, names: Sequence[str], title: str, low: float, high: float) -> dict[str, Any]:
    """Return x and y of a drawing: a scale from `low` to `high`, the first name on top."""
    return {
        "x": palette.axis(
            look,
            title={"text": title, "standoff": 6},
            range=[low, high],
            fixedrange=True,
        ),
        "y": palette.axis(
            look,
            categoryorder="array",
            categoryarray=list(names)[::-1],
            showgrid=False,
            fixedrange=True,
            title={"text": ""},
        ),
    }


def ticks(low: float, high: float) -> dict[str, Any]:
    """Return some four round ticks between two values and their words, for an x axis."""
    rough = (high - low) / 4.0 or 1.0
    size = 10.0 ** floor(log10(rough))
    step = size * next(x for x in (1.0, 2.0, 5.0, 10.0) if x * size >= rough * (1.0 - 1e-9))
    values = [step * i for i in range(ceil(low / step - 1e-9), floor(high / step + 1e-9) + 1)]
    digits = max(0, -floor(log10(step)))
    return {"tickvals": values, "ticktext": [f"{x:,.{digits}f}" for x in values]}


def more(barmode: str) -> dict[str, Any]:
    """Return the rest of the layout: bars of a row on top of one another or end to end."""
    return {"barmode": barmode, "bargap": 0.3, "hovermode": "closest"}


def part(
    name: str,
    sizes: Sequence[float],
    names: Sequence[str],
    colour: str,
    pattern: str | list[str],
    look: Look,
    hover: str,
    *,
    digits: int = 1,
) -> Trace:
    """Return one part of every bar; `hover` ends in the unit, `digits` are decimals kept."""
    hatch = {"shape": pattern, "fgcolor": look.paper, "fillmode": "overlay", "solidity": 0.25}
    return {
        "type": "bar",
        "orientation": "h",
        "name": name,
        "x": [round(size, digits) for size in sizes],
        "y": list(names),
        "marker": {"color": colour, "pattern": {**hatch, "size": 6}, "line": {"width": 0}},
        "hovertemplate": "%{y}: " + hover + "<extra></extra>",
    }


def mark(name: str, ends: Sequence[float], names: Sequence[str], look: Look, hover: str) -> Trace:
    """Return an upright stroke on each bar; without `hover` it says nothing of itself."""
    said = {"hovertemplate": "%{y}: " + hover + "<extra></extra>"} if hover else {}
    return {
        "type": "scatter",
        "mode": "markers",
        "name": name,
        "x": [round(end, 1) for end in ends],
        "y": list(names),
        "marker": {
            "symbol": "line-ns",
            "size": 16,
            "color": look.ink,
            "line": {"width": 2, "color": look.ink},
        },
        **(said or {"hoverinfo": "skip"}),
    }


def words(
    texts: Sequence[str],
    ends: Sequence[float],
    names: Sequence[str],
    look: Look,
    hover: Sequence[str] = (),
    *,
    digits: int = 1,
) -> Trace:
    """Return words to the right of each bar's end."""
    said = {"hovertext": list(hover), "hoverinfo": "text"} if hover else {"hoverinfo": "skip"}
    return {
        "type": "scatter",
        "mode": "text",
        "showlegend": False,
        "x": [round(end, digits) for end in ends],
        "y": list(names),
        "text": [f"  {text}" for text in texts],
        "textposition": "middle right",
        "textfont": {"color": look.ink},
        **said,
        "cliponaxis": False,
    }
