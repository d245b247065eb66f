"""What stands in the tables of ways out, wide for cells and narrow for a terminal."""

from __future__ import annotations

from mplan.contingencies.ways_out.coverage import WaysBand, WaysGap, WaysSpan
from mplan.contingencies.ways_out.looks import CLOSED, NOT_EXAMINED, OPEN, Kind
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.physics.constants import HOUR
from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.crew_and_ways_out import words

BandSpan = tuple[tuple[WaysBand, ...], WaysSpan]  # bands that have the same spans
SAID: dict[Kind, str] = {OPEN: "open", CLOSED: "none", NOT_EXAMINED: "not examined"}


def _margin(way: WayOut | None) -> float | None:
    return None if way is None else way.margin


def _hours(way: WayOut) -> float | None:
    return None if way.home is None else (way.home - way.called) / HOUR


def gaps(fine: bool) -> tuple[Column, ...]:
    """Return what is told of each gap; times with seconds where they are `fine`."""
    unit = words.unit(fine)
    return (
        Column("cabin", lambda gap: plain(gap.cabin)),
        Column("failure", lambda gap: ", ".join(gap.failures)),
        Column(f"from {unit}", lambda gap: words.clock(gap.begin, seconds=fine)),
        Column(f"to {unit}", lambda gap: words.clock(gap.end, seconds=fine)),
        Column("length", lambda gap: words.length(gap.duration)),
        Column("nearest way lacks [m/s]", lambda gap: _lacks(gap), 0),
        Column("why", lambda gap: gap.reason),
    )


def _lacks(gap: WaysGap) -> float | None:
    """Return what the nearest way lacks; None where it, or what is told, is closed otherwise."""
    way = gap.nearest
    if way is None or way.margin is None or not gap.reason.startswith(f"{way.name}: "):
        return None
    return -way.margin if way.margin < 0.0 else None


def spans(fine: bool) -> tuple[Column, ...]:
    """Return what is told of each span of a band; times with seconds where they are `fine`."""
    unit = words.unit(fine)

    return (
        Column("cabin", lambda row: plain(row[0][0].cabin)),
        Column("failure", lambda row: ", ".join(band.failure for band in row[0])),
        Column(f"from {unit}", lambda row: words.clock(row[1].begin, seconds=fine)),
        Column(f"to {unit}", lambda row: words.clock(row[1].end, seconds=fine)),
        Column("way home", lambda row: SAID[row[1].kind]),
        Column("usual way home, or why none", lambda row: usual(row[1])),
        Column("least margin [m/s]", lambda row: least_margin(row[1]), 0),
        Column(f"of which way, when {unit}", lambda row: tightest(row[1], fine)),
    )


def usual(span: WaysSpan) -> str:
    """Return the way that is the soonest one for most of a span, and how many are at other times.

    Of a span without a way, why there is none.
    """
    others = len(span.ways) - 1
    if span.kind != OPEN:
        return span.reason
    return f"{span.longest} ({others} other{'s' * (others > 1)})" if others > 0 else span.longest


def least_margin(span: WaysSpan) -> float | None:
    """Return what the tightest of the open ways in a span leaves [m/s]; None where there is none.

    Of a closed span too: what closes it, which need not be a burn, is said in words.
    """
    return _margin(span.tightest) if span.kind == OPEN else None


def tightest(span: WaysSpan, fine: bool) -> str:
    """Return the way that leaves the least margin and when, "" where none is told.

    To the second where times are `fine`; with a mark where a figure of the way is an estimate.
    """
    way = span.tightest
    if way is None or least_margin(span) is None:
        return ""
    basis = " (estimate)" if way.estimate else ""
    return f"{way.name}{basis}, {words.clock(way.called, seconds=fine)}"


WAYS = (
    Column("way out", lambda way: way.name),
    Column("open", lambda way: "no" if way.closed else "yes"),
    Column("required [m/s]", lambda way: way.required if way.burns else None, 0),
    Column("margin [m/s]", _margin, 0),
    Column("time to its end [h]", _hours, 1),
    Column("ends", lambda way: way.ends),
    Column("lands", lambda way: words.place(way.lands) if way.lands else ""),
    Column("in suits [h]", lambda way: way.suited / HOUR if way.suited else None, 1),
    Column("supplies and energy left", words.left),
    Column("why not", lambda way: way.closed),
    Column("note", lambda way: way.note),
    Column("basis", lambda way: f"estimate: {way.estimate}" if way.estimate else "flown"),
)


BURNS = (
    Column("way out", lambda row: row[0].name),
    Column("burn", lambda row: row[1].what),
    Column("element", lambda row: plain(row[1].element)),
    Column("engine", lambda row: plain(row[1].engine)),
    Column("at [h:min]", lambda row: words.clock(row[1].elapsed)),
    Column("required [m/s]", lambda row: row[1].required, 0),
    Column("available [m/s]", lambda row: row[1].available, 0),
    Column("left [m/s]", lambda row: row[1].margin, 0),
)
