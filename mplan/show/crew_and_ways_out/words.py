"""Ways out in words: gaps with from and to, what was asked and what there is, what it rests on."""

from __future__ import annotations

from collections.abc import Iterable

from mplan.contingencies.ways_out.coverage import WaysCoverage, WaysGap, WaysSpan
from mplan.contingencies.ways_out.told import SHORT, clock, gap, length
from mplan.contingencies.ways_out.way_out import LandingPlace, WayOut
from mplan.physics.constants import DEG, MINUTE
from mplan.scenario.wording import plain
from mplan.studies.ways_out import WaysAsked

__all__ = ["SHORT", "clock", "ending", "gap", "left", "length", "line", "place", "shut", "told"]

MEANT = (
    "Main engine lost: that of the burn that is on, or comes next. One engine lost: one of those "
    "that burn together there. Called off: everything works. Cabin that leaks: the crew live in "
    "another cabin that is joined, by its own supplies, and else in their suits. Half the power "
    "lost: half of what is stored and of what generates; the share aborts.emergency_load of the "
    "electric load stays on."
)
LOOKED = (
    "Each answer is flown. Between two looks that differ an edge is found to a minute or closer. "
    "Where a margin could run out between two looks, at twice the rate seen, there is one more, "
    "until no gap longer than an eighth of a step (half an hour on the way to the Moon) can lie "
    "there; a shorter one may be missed. A gap of no more than 2 s between open times counts as "
    "not examined: solvers fail where two ways meet."
)
NOT_CREDITED = (
    "One failure at a time. Reserves are spent. Nobody outside the mission comes to help. In lunar "
    "orbit, where suits or stored energy do not last to the splash, the fastest return that the "
    "tanks give is flown too."
)
SOONEST = (
    "Of the ways that are open at a time the one that is home soonest is told, with its margin: a "
    "slower one may leave more. The usual way is the one told for most of a span."
)
NOTES = (MEANT, LOOKED, SOONEST, NOT_CREDITED)
CLEAR = "a way out of every stretch that was examined, whatever fails of what was asked"


def fine(spans: Iterable[WaysSpan | WaysGap]) -> bool:
    """Tell whether times are told to the second: one of the spans is too short for minutes."""
    return any(each.duration < SHORT for each in spans)


def unit(seconds: bool) -> str:
    """Return the unit of times in a head."""
    return "[h:min:s]" if seconds else "[h:min]"


def line(found: WaysCoverage) -> str:
    """Return the whole coverage in one line: the worst gap, how many more, what was not flown."""
    parts = [gap(found.gaps[0]) if found.gaps else _clear(found)]
    if len(found.gaps) > 1:
        parts.append(f"{len(found.gaps) - 1} more gap{'s' * (len(found.gaps) > 2)}")
    parts += [] if found.stopped else _left_out(found)
    if found.unseen > MINUTE:
        parts.append(f"a gap of up to {length(found.unseen)} may be missed")
    if found.stopped:
        parts.append("stopped before all was flown")
    return f"Ways out: {'; '.join(parts)}"


def _clear(found: WaysCoverage) -> str:
    examined = any(s.kind != "not examined" for band in found.bands for s in band.spans)
    return CLEAR if examined else "nothing was examined"


def _left_out(found: WaysCoverage) -> list[str]:
    times: dict[str, float] = {}
    for band, span in found.unexamined():
        times[band.failure] = times.get(band.failure, 0.0) + span.duration
    return [f"{length(max(times.values()))} not examined"] if times else []


def told(asked: WaysAsked) -> str:
    """Return what was asked and what leads home, in a sentence or two."""
    point = asked.point
    fails = f" ({asked.fails})" if asked.fails else ""
    begun = (
        f"{plain(point.cabin)}, {point.crew} aboard, {clock(point.elapsed)} after lift-off "
        f"({point.stretch}), {asked.failure}{fails}"
    )
    if asked.unknown:
        return f"{begun}: not examined, {asked.unknown}."
    good = [way for way in asked.ways if not way.closed]
    if not good:
        why = "; ".join(way.reason for way in asked.ways)
        return f"{begun}: no way out{why and f' ({why})'}."
    best = good[0]
    more = f"; {len(good) - 1} more" if len(good) > 1 else ""
    return f"{begun}: {best.name}, {ending(best, point.elapsed)}{more}."


def ending(way: WayOut, called: float) -> str:
    """Return when and where a way ends."""
    when = "" if way.home is None else f" after {length(way.home - called)}"
    where = "" if way.lands is None else f" at {place(way.lands)}"
    margin = "" if way.margin is None else f", {way.margin:,.0f} m/s left"
    return f"{way.ends}{when}{where}{margin}"


def shut(way: WayOut) -> str:
    """Return what stands behind the name of a way that cannot be flown to its end."""
    return " (closed)" if way.closed else ""


def place(lands: LandingPlace) -> str:
    """Return a place on Earth in degrees."""
    north = "N" if lands.latitude >= 0.0 else "S"
    east = "E" if lands.longitude >= 0.0 else "W"
    return f"{abs(lands.latitude) / DEG:.1f} {north} {abs(lands.longitude) / DEG:.1f} {east}"


def left(way: WayOut) -> str:
    """Return what is still there at the end of a way."""
    if way.left is None:
        return ""
    days, energy = way.left.days, way.left.energy
    parts = ["" if days is None else f"{way.left.supply} for {days:.1f} d"]
    parts.append("" if energy is None else f"{100.0 * energy:.0f} % of stored energy")
    return ", ".join(filter(None, parts))
