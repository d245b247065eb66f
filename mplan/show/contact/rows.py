"""The columns of the contact log, and the log in one sentence."""

from __future__ import annotations

from mplan.checks.contact import ContactLog
from mplan.physics.constants import DEG, MINUTE
from mplan.scenario.wording import plain
from mplan.show.columns import Column, clock

NO_STATIONS = "not examined: the scenario states no [stations]"

SEEN = (
    Column("burn or event", lambda row: row.event),
    Column("craft of", lambda row: plain(row.element)),
    Column("since lift-off", lambda row: clock(row.elapsed)),
    Column("seen by", lambda row: ", ".join(row.stations) or "nobody"),
    Column("why not", lambda row: row.why),
    Column("distance [km]", lambda row: row.distance / 1e3, 0),
)

PASSES = (
    Column("craft of", lambda row: plain(row.element)),
    Column("station", lambda row: row.station),
    Column("from", lambda row: clock(row.begin)),
    Column("to", lambda row: clock(row.end)),
    Column("lasts [min]", lambda row: (row.end - row.begin) / MINUTE, 1),
    Column("highest [deg]", lambda row: row.highest / DEG, 1),
)

SILENCES = (
    Column("craft of", lambda row: plain(row.element)),
    Column("from", lambda row: clock(row.begin)),
    Column("to", lambda row: clock(row.end)),
    Column("lasts [min]", lambda row: row.duration / MINUTE, 1),
    Column("why", lambda row: row.why),
)


def sentence(log: ContactLog) -> str:
    """Return the log in one line, "" where there is none."""
    if not log.passes:
        return ""
    seen = sum(bool(each.stations) for each in log.events)
    told = f"{seen} of {len(log.events)} burns and events are seen"
    longest = log.longest
    if longest is None:
        return f"contact: {told}; no silence"
    silent = f"{longest.duration / MINUTE:.0f} min from {clock(longest.begin)}, {longest.why}"
    return f"contact: {told}; longest silence {silent} ({plain(longest.element)})"
