"""A drawing laid over the one it is compared with, which stays behind it as thin outlines.

Outlined is what has changed: a bar that is as long as it was, or a curve that runs as it ran, has
no second line. Words, marks and maps of the reference are left out; what a trace marks as a
`GUIDE` is a line to words or a ruler, and is left out as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import CLEAR, Look

BEFORE = "before the change"
GUIDE = "guide"  # the `meta` of a trace that is not compared
OVER = 0.14  # of a row, by which an outline stands out above and below its bar
GAP = 0.2  # plotly's, between rows where a layout says nothing
NEW_ROW = 26  # px that a row takes which only the reference has

LAST = 2000  # in a legend: where nothing is said traces have 1000
DIGITS = 3  # of where a bar begins

Row = Any  # a name, or a number


class Strip(NamedTuple):
    """A bar or a part of one; `thick` is what it takes of the height of its row."""

    row: Row
    begin: float
    length: float
    thick: float


def behind(drawing: Drawing, reference: Drawing, name: str = BEFORE) -> Drawing:
    """Return a drawing with the outlines of a `reference` behind it, `name` in its legend.

    Both are of one picture. Rows that only the reference has are added, and axes reach as far as
    either does. Where nothing differs the drawing is returned as it is.
    """
    outlines = [*_outlines(drawing, reference), *_curves(drawing, reference)]
    if not outlines:
        return drawing
    outlines[0] |= {"name": name, "showlegend": True, "legendrank": LAST}
    rows = _rows(drawing.y, reference.y)
    new = len(rows) - len(drawing.y.get("categoryarray", ()))
    return replace(
        drawing,
        traces=[*outlines, *map(_quietly, drawing.traces)],
        x=_wide(drawing.x, reference.x),
        y=_wide(drawing.y, reference.y) | ({"categoryarray": rows} if rows else {}),
        height=drawing.height + NEW_ROW * new,
    )


def _quietly(trace: Trace) -> Trace:
    """Return a trace that stays out of the legend if it has no name: a second one opens it."""
    return trace if trace.get("name") else {**trace, "showlegend": False}


def _rows(own: dict[str, Any], its: dict[str, Any]) -> list[Row]:
    """Return the names of rows from the lowest up, the reference's beside their neighbours."""
    rows = list(own.get("categoryarray", ()))
    after = 0
    for name in its.get("categoryarray", ()):
        if name not in rows:
            rows.insert(after, name)
        after = rows.index(name) + 1
    return rows


def _wide(own: dict[str, Any], its: dict[str, Any]) -> dict[str, Any]:
    """Return an axis that reaches as far as both, ticks of the one that reaches further."""
    ours, theirs = own.get("range"), its.get("range")
    if not ours or not theirs or _named(own):
        return own
    low, high = (max, min) if ours[0] > ours[1] else (min, max)
    reach = [low(ours[0], theirs[0]), high(ours[1], theirs[1])]
    ticks = its if reach[1] != ours[1] else own
    return (
        own
        | {key: ticks[key] for key in ("tickvals", "ticktext") if key in ticks}
        | {"range": reach}
    )


def _named(axis: dict[str, Any]) -> bool:
    """Tell whether the ticks of an axis are names, not numbers."""
    return any(text.strip(" -+.,0123456789") for text in axis.get("ticktext", ()))


def _outlines(drawing: Drawing, reference: Drawing) -> list[Trace]:
    """Return the outlines of the reference's bars in rows that differ, a trace for each width."""
    now, then = _by_row(_bars(drawing)), _by_row(_bars(reference))
    rows = _moved(drawing.y, reference.y)
    changed: dict[float, list[Strip]] = {}
    for row, bars in then.items():
        here = rows.get(row) if rows else row
        if here is None or _as(bars, here) == now.get(here):
            continue
        for bar in _as(bars, here):
            changed.setdefault(bar.thick, []).append(bar)
    return [_outline(bars, thick, drawing.look) for thick, bars in changed.items()]


def _as(bars: Iterable[Strip], row: Row) -> list[Strip]:
    return [bar._replace(row=row) for bar in bars]


def _moved(own: dict[str, Any], its: dict[str, Any]) -> dict[Row, Row]:
    """Return where numbered rows of the reference stand here, by their names; empty if unnamed."""
    if "categoryarray" in its or not _named(its):
        return {}
    here = dict(zip(own["ticktext"], own["tickvals"], strict=True))
    there = zip(its["ticktext"], its["tickvals"], strict=True)
    return {row: here[name] for name, row in there if name in here}


def _by_row(bars: Iterable[Strip]) -> dict[Row, list[Strip]]:
    found: dict[Row, list[Strip]] = {}
    for bar in bars:
        if bar.length:
            found.setdefault(bar.row, []).append(bar)
    return found


def _bars(drawing: Drawing) -> Iterator[Strip]:
    """Yield all bars of a drawing, those of a stack from the end of the one before."""
    more = drawing.more or {}
    stacked, thick = more.get("barmode") == "stack", 1.0 - more.get("bargap", GAP)
    ends: dict[Row, float] = {}
    for trace in drawing.traces:
        if trace["type"] != "bar":
            continue
        bases = trace.get("base") or [0.0] * len(trace["x"])
        for row, base, length in zip(trace["y"], bases, trace["x"], strict=True):
            begin = ends.get(row, 0.0) if stacked else base
            ends[row] = begin + (length or 0.0)
            yield Strip(row, round(begin, DIGITS), length, trace.get("width", thick))


def _outline(bars: Sequence[Strip], thick: float, look: Look) -> Trace:
    """Return bars as thin outlines, a little thicker than what lies over them."""
    wide = min(1.0, thick + OVER)
    return {
        "type": "bar",
        "orientation": "h",
        "base": [bar.begin for bar in bars],
        "x": [bar.length for bar in bars],
        "y": [bar.row for bar in bars],
        "width": wide,
        "offset": -wide / 2.0,
        "marker": {"color": CLEAR, "line": {"color": look.quiet, "width": 1}},
        "showlegend": False,
        "hoverinfo": "skip",
    }


def _curves(drawing: Drawing, reference: Drawing) -> list[Trace]:
    """Return the reference's lines that run elsewhere, thin and dotted."""
    now = [(trace["x"], trace["y"]) for trace in drawing.traces if _is_line(trace)]
    return [
        _dotted(trace, drawing.look)
        for trace in reference.traces
        if _is_line(trace) and (trace["x"], trace["y"]) not in now
    ]


def _is_line(trace: Trace) -> bool:
    lines = trace["type"] == "scatter" and "lines" in trace["mode"]
    return lines and trace.get("meta") != GUIDE and bool(trace["x"])


def _dotted(trace: Trace, look: Look) -> Trace:
    return {
        "type": "scatter",
        "mode": "lines",
        "x": trace["x"],
        "y": trace["y"],
        "line": {"color": look.quiet, "width": 1, "dash": "dot"},
        "showlegend": False,
        "hoverinfo": "skip",
    }
