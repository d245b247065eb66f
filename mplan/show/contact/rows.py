"""The columns of the contact log, and the log in one sentence."""

from __future__ import annotations

from mplan.checks.contact import ContactLog, LinkCurve, links
from mplan.physics.constants import DEG, MINUTE
from mplan.scenario.radio.rates import rate_in_words
from mplan.scenario.wording import plain
from mplan.show.columns import Column, clock

NO_LINKS = (
    "not examined: no element seen by a station states [elements.X.radio], or no station what it "
    "receives with"
)
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

LINKS = (
    Column("craft of", lambda row: plain(row.element)),
    Column("radio of", lambda row: plain(row.radio)),
    Column("direction", lambda row: row.direction),
    Column("station", lambda row: row.station),
    Column("rate [kbit/s]", lambda row: row.rate / 1e3, 1),
    Column("least margin [dB]", lambda row: row.least.margin, 1),
    Column("wanted [dB]", lambda row: row.wanted, 1),
    Column("state", lambda row: link_state(row)),
    Column("then, since lift-off", lambda row: clock(row.least.elapsed)),
    Column("distance then [km]", lambda row: row.least.distance / 1e3, 0),
    Column("rate that keeps the margin [kbit/s]", lambda row: row.least.closing_rate / 1e3, 1),
)


def link_state(curve: LinkCurve) -> str:
    """Return how a link stands at its least margin, in words."""
    margin = curve.least.margin
    if margin < 0.0:
        return "does not close"
    return "below the margin wanted" if margin < curve.wanted else "keeps its margin"


def link_sentence(log: ContactLog) -> str:
    """Return the least margin of all links in one line, "" where none is worked out."""
    if not log.links:
        return ""
    low = min(links.best(log.links), key=lambda each: each.least.margin - each.wanted)
    asked = f"{low.wanted:g} dB wanted, {rate_in_words(low.rate)}"
    least = f"{low.least.margin:.1f} dB at {clock(low.least.elapsed)}"
    return f"radio links: {least} at least ({plain(low.radio)} {low.direction}; {asked})"


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
