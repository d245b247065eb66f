"""What stands in the tables of ways out, wide for cells and narrow for a terminal."""

from __future__ import annotations

from mplan.contingencies.ways_out.coverage import WaysBand, WaysGap, WaysSpan
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.physics.constants import HOUR
from mplan.scenario.wording import plain
from mplan.show.columns import Column
from mplan.show.crew_and_ways_out import words

BandSpan = tuple[tuple[WaysBand, ...], WaysSpan]  # bands that have the same spans


def _margin(way: WayOut | None) -> float | None:
    return None if way is None else way.margin


def _hours(way: WayOut) -> float | None:
    return None if way.home is None else (way.home - way.called) / HOUR


def _gap_clock(each: WaysGap, elapsed: float) -> str:
    return words.clock(elapsed, seconds=each.duration < words.SHORT)


GAPS = (
    Column("cabin", lambda gap: plain(gap.cabin)),
    Column("failure", lambda gap: ", ".join(gap.failures)),
    Column("from [h:min]", lambda gap: _gap_clock(gap, gap.begin)),
    Column("to [h:min]", lambda gap: _gap_clock(gap, gap.end)),
    Column("length", lambda gap: words.length(gap.duration)),
    Column("nearest way lacks [m/s]", lambda gap: _lacks(gap), 0),
    Column("why", lambda gap: gap.reason),
)


def _lacks(gap: WaysGap) -> float | None:
    """Return what the nearest way lacks; None where it is closed for another reason."""
    margin = _margin(gap.nearest)
    return None if margin is None or margin >= 0.0 else -margin


SPANS = (
    Column("cabin", lambda row: plain(row[0][0].cabin)),
    Column("failure", lambda row: ", ".join(band.failure for band in row[0])),
    Column("from [h:min]", lambda row: words.clock(row[1].begin, seconds=_brief(row))),
    Column("to [h:min]", lambda row: words.clock(row[1].end, seconds=_brief(row))),
    Column("answer", lambda row: row[1].kind),
    Column("ways", lambda row: "; ".join(row[1].ways)),
    Column("least margin [m/s]", lambda row: least_margin(row), 0),
    Column("why not", lambda row: row[1].reason),
    Column("basis", lambda row: "estimate" if _estimated(row) else ""),
)


def least_margin(row: BandSpan) -> float | None:
    """Return what the tightest of the open ways in a span leaves [m/s]; None where there is none.

    Of a closed span too: what closes it, which need not be a burn, is said in words.
    """
    return _margin(row[1].tightest) if row[1].kind == "open" else None


def _brief(row: BandSpan) -> bool:
    return row[1].duration < words.SHORT


def _estimated(row: BandSpan) -> bool:
    return row[1].tightest is not None and bool(row[1].tightest.estimate)


WAYS = (
    Column("way out", lambda way: way.name),
    Column("open", lambda way: "no" if way.closed else "yes"),
    Column("engines", lambda way: _engines(way)),
    Column("required [m/s]", lambda way: way.required if way.burns else None, 0),
    Column("margin [m/s]", _margin, 0),
    Column("time to its end [h]", _hours, 1),
    Column("ends", lambda way: way.ends),
    Column("lands", lambda way: words.place(way.lands) if way.lands else ""),
    Column("left at its end", words.left),
    Column("why not", lambda way: way.closed),
    Column("note", lambda way: way.note),
    Column("basis", lambda way: f"estimate: {way.estimate}" if way.estimate else "flown"),
)


def _engines(way: WayOut) -> str:
    return ", ".join(dict.fromkeys(f"{plain(x.element)} {plain(x.engine)}" for x in way.burns))


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
