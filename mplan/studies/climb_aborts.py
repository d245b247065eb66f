"""Which ways out of the climb are open when: spans along it, and the gaps between them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from mplan.checks.abort_to_orbit import ALONE
from mplan.checks.aborts import Escaped, on_tower, ways
from mplan.checks.climb_moment import Moment, Way
from mplan.plan import Plan

STEP = 3.0  # s, between moments looked at

Seen = list[tuple[float, tuple[Way, ...]]]


class Span(NamedTuple):
    """A way out over a time [s since lift-off] in which it stays open, or closed for a reason.

    `figures` are those of its beginning and end, `worst` the one nearest to its limit, in words.
    """

    way: str
    begin: float
    end: float
    closed: str
    figures: tuple[str, str]
    worst: str = ""


class Gap(NamedTuple):
    """A time [s since lift-off] in which no way is open, and why each is closed at first."""

    begin: float
    end: float
    reasons: tuple[str, ...]


class Coverage(NamedTuple):
    """All spans, way by way, and the gaps of the whole; `end` is that of the climb [s]."""

    spans: tuple[Span, ...]
    gaps: tuple[Gap, ...]
    end: float

    @property
    def open(self) -> tuple[Span, ...]:
        """The spans in which a way is open."""
        return tuple(span for span in self.spans if not span.closed)


def coverage(plan: Plan) -> Coverage:
    """Return the ways out along a plan's climb, from the pad to insertion.

    A moment every 3 s or so stands for the time up to the next one, so that edges are that fine.
    Takes a few tenths of a second. A plan whose climb has not been flown has its pad alone.
    """
    moments = _moments(plan)
    seen = [(moment.t, ways(moment)) for moment in moments]
    climb = plan.flight.end.climb
    end = float(climb.track.t[-1]) if climb is not None else 0.0
    edges = [t for t, _ in seen[1:]] + [end]
    names = dict.fromkeys(way.name for _, found in seen for way in found)
    last = sorted(names, key=lambda name: name == ALONE)
    spans = [span for name in last for span in _spans(name, seen, edges)]
    return Coverage(tuple(spans), tuple(_gaps(seen, edges)), end)


def escapes(plan: Plan) -> dict[str, Escaped]:
    """Return flights on the tower from the pad, at most air, and just before it is dropped."""
    found = {"from the pad": on_tower(Moment(plan.flight, None))}
    climb = plan.flight.end.climb
    if climb is not None:
        thick = int(np.argmax(climb.track.dynamic_pressure))
        found["where the air presses most"] = on_tower(Moment(plan.flight, thick))
        every = (Moment(plan.flight, i) for i in range(len(climb.track.t)))
        late = [moment for moment in every if _on_stack(moment)]
        found["as the tower is dropped"] = on_tower(late[-1]) if late else None
    return {name: escaped for name, escaped in found.items() if escaped is not None}


def _on_stack(moment: Moment) -> bool:
    """Tell whether the escape tower is still on the stack."""
    return any(moment.scenario.elements[name].role == "escape tower" for name in moment.stack)


def _moments(plan: Plan) -> list[Moment]:
    """Return the pad, and points of the climb's track at least `STEP` apart."""
    chosen = [Moment(plan.flight, None)]
    if plan.flight.end.climb is None:
        return chosen
    times, last = plan.flight.end.climb.track.t, 0.0
    for i in range(1, len(times)):
        if times[i] - last >= STEP and times[i] < times[-1]:
            chosen.append(Moment(plan.flight, i))
            last = times[i]
    return chosen


def _spans(name: str, seen: Seen, edges: list[float]) -> list[Span]:
    """Return the spans of one way: its being open, and its being closed.

    The reason of a span is the one in its middle.
    """
    runs: list[list[tuple[float, float, Way]]] = []
    for (begin, listed), end in zip(seen, edges, strict=True):
        way = next((each for each in listed if each.name == name), None)
        if way is None:
            continue
        last = runs[-1][-1] if runs else None
        if last is not None and last[1] == begin and bool(last[2].closed) == bool(way.closed):
            runs[-1].append((begin, end, way))
        else:
            runs.append([(begin, end, way)])
    return [_span(name, run) for run in runs]


def _span(name: str, run: list[tuple[float, float, Way]]) -> Span:
    ways = [way for _, _, way in run]
    figures = (ways[0].figure, ways[-1].figure)
    worst = min(ways, key=lambda way: way.margin).figure
    return Span(name, run[0][0], run[-1][1], ways[len(ways) // 2].closed, figures, worst)


def _gaps(seen: Seen, edges: list[float]) -> list[Gap]:
    found: list[Gap] = []
    for (begin, listed), end in zip(seen, edges, strict=True):
        if not all(way.closed for way in listed):
            continue
        reasons = tuple(f"{way.name}: {way.closed}" for way in listed)
        if found and found[-1].end == begin:
            found[-1] = found[-1]._replace(end=end)
        else:
            found.append(Gap(begin, end, reasons))
    return found
