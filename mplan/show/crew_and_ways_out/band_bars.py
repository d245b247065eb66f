"""The coverage as bands over the mission's time: a row a failure and cabin, gaps hatched."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.contingencies.ways_out.coverage import WaysBand, WaysCoverage, WaysSpan
from mplan.contingencies.ways_out.looks import CLOSED, NOT_EXAMINED, OPEN, Kind
from mplan.physics.constants import HOUR
from mplan.scenario.wording import plain
from mplan.show.crew_and_ways_out import words
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

ROW, EDGES = 30, 110  # px
NARROW = 0.006  # of the time, below which a gap is marked too: its bar alone would not be seen
ROOM = 0.011  # of the time, that a letter takes on a bar
TITLES: dict[Kind, str] = {
    OPEN: "a way out is open",
    CLOSED: "NO WAY OUT",
    NOT_EXAMINED: "not examined",
}
HATCH: dict[Kind, str] = {OPEN: "", CLOSED: "\\", NOT_EXAMINED: "/"}
THIN = {"size": 7, "solidity": 0.2, "fgopacity": 0.45}  # words on it are read

Bars = Sequence[tuple[str, WaysSpan]]


def drawing(found: WaysCoverage, theme: Theme | None = None) -> Drawing:
    """Return the bands, time from left to right, and marks where a gap is too short to see."""
    look = palette.look(theme)
    names = [row_name(band) for band in found.bands]
    bars = [(row_name(band), span) for band in found.bands for span in band.spans]
    last = max((span.end for _, span in bars), default=HOUR) / HOUR
    colours: dict[Kind, str] = {OPEN: look.good, CLOSED: look.bad, NOT_EXAMINED: look.faint}
    traces = [
        _bars(kind, [x for x in bars if x[1].kind == kind], colours[kind], names, look)
        for kind in (OPEN, CLOSED, NOT_EXAMINED)
    ]
    return Drawing(
        traces=[*traces, _marks(bars, last, look), _words(bars, last, look)],
        **rows.axes(look, names, "since lift-off [h]", -0.005 * last, 1.005 * last),
        height=EDGES + ROW * len(names),
        summary=summary(found),
        look=look,
        more=rows.more("overlay"),
    )


def row_name(band: WaysBand) -> str:
    """Return what stands before a band."""
    return f"{plain(band.cabin)}: {band.failure}"


def summary(found: WaysCoverage) -> str:
    """Return the bands in words: every gap, the longest first."""
    gaps = "; ".join(words.gap(gap) for gap in found.gaps)
    return f"{words.line(found)}. All gaps: {gaps or 'none'}."


def _bars(kind: Kind, bars: Bars, colour: str, names: Sequence[str], look: Look) -> Trace:
    """Return the bars of one kind; one of no length where there is none, for the legend."""
    begun = [round(span.begin / HOUR, 4) for _, span in bars] or [0.0]
    lines = palette.PALE if kind == CLOSED else look.paper  # away from the colour of its words
    hatch = {"shape": HATCH[kind], "fgcolor": lines, "fillmode": "overlay"}
    return {
        "type": "bar",
        "orientation": "h",
        "name": TITLES[kind],
        "base": begun,
        "x": [round(span.duration / HOUR, 4) for _, span in bars] or [0.0],
        "y": [name for name, _ in bars] or list(names[-1:]) or [""],
        "marker": {"color": colour, "pattern": {**hatch, **THIN}, "line": {"width": 0}},
        "text": [_hover(name, span) for name, span in bars] or [""],
        "textposition": "none",
        "hovertemplate": "%{text}<extra></extra>",
    }


def _hover(name: str, span: WaysSpan) -> str:
    fine = span.duration < words.SHORT
    begin, end = (words.clock(t, seconds=fine) for t in (span.begin, span.end))
    said = "; ".join(span.ways) if span.kind == OPEN else span.reason
    return f"{name}, {begin} to {end}: {TITLES[span.kind]}<br>{said}"


def _marks(bars: Bars, last: float, look: Look) -> Trace:
    """Return a diamond on each gap that is too short to be seen as a bar."""
    short = [x for x in bars if x[1].kind == CLOSED and x[1].duration / HOUR < NARROW * last]
    return {
        "type": "scatter",
        "mode": "markers",
        "name": "NO WAY OUT, for a short time",
        "x": [round((span.begin + span.end) / 2.0 / HOUR, 4) for _, span in short],
        "y": [name for name, _ in short],
        "marker": {
            "symbol": "diamond",
            "size": 9,
            "color": look.bad,
            "line": {"width": 1, "color": look.ink},
        },
        "text": [_hover(*each) for each in short],
        "hovertemplate": "%{text}<extra></extra>",
        "visible": True if short else "legendonly",
        "showlegend": bool(short),
    }


def _words(bars: Bars, last: float, look: Look) -> Trace:
    """Return from and to on gaps, and what is not examined, where there is room."""
    said = [(name, span, _on_bar(span)) for name, span in bars if span.kind != OPEN]
    fits = [x for x in said if x[1].duration / HOUR > ROOM * last * len(x[2])]
    return {
        "type": "scatter",
        "mode": "text",
        "showlegend": False,
        "x": [round((span.begin + span.end) / 2.0 / HOUR, 4) for _, span, _ in fits],
        "y": [name for name, _, _ in fits],
        "text": [text for _, _, text in fits],
        "textposition": "middle center",
        "textfont": {
            "color": [look.on_second if x[1].kind == CLOSED else look.ink for x in fits],
            "size": palette.TEXT_SIZE - 1,
        },
        "hoverinfo": "skip",
    }


def _on_bar(span: WaysSpan) -> str:
    if span.kind == NOT_EXAMINED:
        return NOT_EXAMINED
    return f"none {words.clock(span.begin)} to {words.clock(span.end)}"
