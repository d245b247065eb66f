"""One flown setting beside the plan, as the page tells it: words, numbers and shapes to draw."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any

import numpy as np

from mplan.comparing import BurnPair, Comparison, DatePair, FigurePair, FindingPair, LimitPair
from mplan.flight.ascent import kept
from mplan.flight.record import BurnRecord
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show import limits, notes
from mplan.show.columns import clock
from mplan.show.comparing.columns import later, signed
from mplan.show.mission import burn_bars, event_ladder, flight_path
from mplan.studies import coasts
from mplan.studies.what_if import ChangedFlight

Told = dict[str, Any]
LEFT = ("mission", "supply", "storage for waste", "energy")  # kinds of limits that days decide
EVERY = 4  # of an arc's points that are drawn
SCALE = 1e6  # m of a unit of the drawn path


def refused(flown: ChangedFlight) -> Told:
    """Return what is told of a change that cannot be flown."""
    return {"tone": "none", "closes": "Cannot be flown", "verdict": flown.refused}


def told(both: Comparison) -> Told:
    """Return all that is told of plan B, with its differences from plan A, the report's."""
    plan = both.b
    return {
        **_verdict(plan),
        "steered": kept(plan.flight.climb) if plan.flight.climb else "",
        "rows": dict(_rows(both)),
        "burns": list(_burns(both)),
        "phases": [[x.name, round(x.begin, 3), round(x.end, 3)] for x in event_ladder.phases(plan)],
        "path": _path(plan),
        "findings": [_finding(x) for x in both.findings if x.what != "same"],
    }


def _verdict(plan: Plan) -> Told:
    """Return whether it closes, in words and as a tone, and where the flight ends or why."""
    said = plan.verdict.removeprefix(f"{plan.scenario.mission.name} ")
    closes, _, more = said.partition(": ")
    ended = plan.flight.ended
    when = f"The flight ends after {clock(plan.flight.duration)}"
    why = f": {ended.text}" if ended and ended.text not in more else ""
    return {
        "tone": ("open" if plan.decisions_open else "good") if plan.closes else "bad",
        "closes": closes.capitalize(),
        "verdict": more,
        "ended": f"{when}{why}." if ended else "",
    }


def _rows(both: Comparison) -> Iterator[tuple[str, list[str]]]:
    """Yield figures, dates and what is left, by name: the value, and what differs from A."""
    for figure in both.figures:
        yield f"figure|{figure.name}", _figure(figure)
    for date in both.dates:
        yield f"date|{date.name}", _date(date)
    for limit in both.limits:
        known = limit.b or limit.a
        if known and known.kind in LEFT:
            yield f"left|{known.kind}: {known.name}", _left(limit)


def _figure(pair: FigurePair) -> list[str]:
    if pair.b is None:
        return ["-", ""]
    value = f"{round(pair.b, pair.digits) + 0.0:,.{pair.digits}f} {pair.unit}".rstrip()
    return [value, _unlike(signed(pair.difference, pair.digits))]


def _date(pair: DatePair) -> list[str]:
    return [_utc(pair.b), _unlike(later(pair.later))]


def _utc(when: datetime | None) -> str:
    return "-" if when is None else f"{when:%Y-%m-%d %H:%M}"


def _left(pair: LimitPair) -> list[str]:
    a, b = (None if x is None else limits.left(x) for x in (pair.a, pair.b))
    if pair.a is None or pair.b is None or a == b:
        return [b or "-", ""]
    days = pair.a.days_left, pair.b.days_left
    if days[0] is not None and days[1] is not None:
        return [b or "-", _unlike(signed(days[1] - days[0], 1))]
    if pair.a.left is None or pair.b.left is None:
        return [b or "-", f"was {a}"]
    return [b or "-", _unlike(signed(pair.b.left - pair.a.left, pair.b.digits))]


def _unlike(difference: str) -> str:
    return "" if difference == "same" else difference


def _burns(both: Comparison) -> Iterator[Told]:
    """Yield the burns: their bars in B, and those in A as outlines."""
    burns = both.b.every_burn
    later_ones = {id(x): more for x, more in zip(burns, burn_bars.goes_on(burns), strict=True)}
    for pair in both.burns:
        a, b = pair
        outline = None if a is None else round(max(a.available, a.required + a.reserved))
        if b is not None:
            yield {"plan": outline, **_burn(b, pair, more=later_ones[id(b)])}
        elif a is not None:
            words = {"words": "not flown here", "parts": [], "unlike": ""}
            yield {"plan": outline, "name": burn_bars.label(a), "of": plain(a.element), **words}


def _burn(burn: BurnRecord, pair: BurnPair, *, more: bool) -> Told:
    """Return a burn's parts [m/s], its numbers in words, and what its margin differs by."""
    less = "" if more else signed(_margin_less(pair), 0)
    return {
        "name": burn_bars.label(burn),
        "of": plain(burn.element),
        "parts": [round(x, 1) for x in _parts(burn, more=more)],
        "words": burn_bars.words(burn, more),
        "unlike": _unlike(less),
    }


def _margin_less(pair: BurnPair) -> float | None:
    """Return the margin in B less that in A [m/s]; None where one has none."""
    found = [None if x is None or x.burns_out else x.margin for x in pair]
    a, b = found
    return None if a is None or b is None else b - a


def _parts(burn: BurnRecord, *, more: bool) -> Sequence[float]:
    """Return what a burn requires, reserves, leaves, leaves for later burns, and lacks [m/s]."""
    spare = 0.0 if burn.burns_out else max(0.0, burn.margin)
    paid = min(burn.required, burn.available)
    held = min(burn.reserved, max(0.0, burn.available - burn.required))
    return paid, held, 0.0 if more else spare, spare if more else 0.0, burn_bars.short_by(burn)


def _path(plan: Plan) -> list[list[list[float]]]:
    """Return the way to the Moon, home and the Moon's own as drawn [1,000 km]; [] if not flown."""
    if not plan.complete:
        return []
    arcs = coasts.of(plan)
    times = np.linspace(plan.flight.end.lift_off, arcs[-1].t[-1], coasts.POINTS // EVERY)
    moon = coasts.moon(times)
    view = flight_path.seen_from(*moon)
    ways = [arc.r[_few(len(arc.r))] for arc in arcs]
    return [(np.round(view.flat(r) * 1e3 / SCALE, 1)).tolist() for r in (moon[0], *ways)]


def _few(count: int) -> np.ndarray:
    """Return the places of some of so many points, the last among them."""
    return np.unique(np.append(np.arange(0, count, EVERY), count - 1))


def _finding(pair: FindingPair) -> list[str]:
    known = pair.b or pair.a
    assert known is not None
    return [pair.what, notes.MARKS[known.severity], known.severity, known.text]
