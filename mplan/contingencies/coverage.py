"""Which abort modes of the climb are open when: spans along it, and the gaps between them."""

from __future__ import annotations

from typing import NamedTuple

from mplan.contingencies.abort_to_orbit import ALONE
from mplan.contingencies.climb_aborts import abort_modes
from mplan.contingencies.climb_point import AbortMode, ClimbPoint
from mplan.flight.record import Flight

STEP = 3.0  # s, between points looked at

Seen = list[tuple[float, tuple[AbortMode, ...]]]


class ModeSpan(NamedTuple):
    """An abort mode over a time [s since lift-off] in which it stays open, or closed for a reason.

    `figures` are those of its beginning and end, `worst` the one nearest to its limit, in words.
    """

    mode: str
    begin: float
    end: float
    closed: str
    figures: tuple[str, str]
    worst: str = ""


class Gap(NamedTuple):
    """A time [s since lift-off] in which no abort mode is open, and why each is closed at first."""

    begin: float
    end: float
    reasons: tuple[str, ...]


class Coverage(NamedTuple):
    """All spans, mode by mode, and the gaps of the whole; `end` is that of the climb [s]."""

    spans: tuple[ModeSpan, ...]
    gaps: tuple[Gap, ...]
    end: float

    @property
    def open(self) -> tuple[ModeSpan, ...]:
        """The spans in which a mode is open."""
        return tuple(span for span in self.spans if not span.closed)


def of_climb(flight: Flight) -> Coverage:
    """Return the abort modes along a climb, from the pad to insertion.

    A point every 3 s or so stands for the time up to the next one, so that edges are that fine.
    Takes a few tenths of a second. A stack that stays on the pad has its pad alone;
    where nothing was flown or nobody is aboard there are none.
    """
    if flight.climb is None or not flight.scenario.mission.crew:
        return Coverage((), (), 0.0)
    points = _points(flight)
    seen = [(point.t, abort_modes(point)) for point in points]
    end = float(flight.end.climb.track.t[-1])
    edges = [t for t, _ in seen[1:]] + [end]
    names = dict.fromkeys(mode.name for _, found in seen for mode in found)
    last = sorted(names, key=lambda name: name == ALONE)
    spans = [span for name in last for span in _spans(name, seen, edges)]
    return Coverage(tuple(spans), tuple(_gaps(seen, edges)), end)


def _points(flight: Flight) -> list[ClimbPoint]:
    """Return the pad, and points of the climb's track at least `STEP` apart."""
    chosen = [ClimbPoint(flight, None)]
    times, last = flight.end.climb.track.t, 0.0
    for i in range(1, len(times)):
        if times[i] - last >= STEP and times[i] < times[-1]:
            chosen.append(ClimbPoint(flight, i))
            last = times[i]
    return chosen


def _spans(name: str, seen: Seen, edges: list[float]) -> list[ModeSpan]:
    """Return the spans of one mode: its being open, and its being closed.

    The reason of a span is the one in its middle.
    """
    runs: list[list[tuple[float, float, AbortMode]]] = []
    for (begin, listed), end in zip(seen, edges, strict=True):
        mode = next((each for each in listed if each.name == name), None)
        if mode is None:
            continue
        last = runs[-1][-1] if runs else None
        if last is not None and last[1] == begin and bool(last[2].closed) == bool(mode.closed):
            runs[-1].append((begin, end, mode))
        else:
            runs.append([(begin, end, mode)])
    return [_span(name, run) for run in runs]


def _span(name: str, run: list[tuple[float, float, AbortMode]]) -> ModeSpan:
    found = [mode for _, _, mode in run]
    figures = (found[0].figure, found[-1].figure)
    worst = min(found, key=lambda mode: mode.margin).figure
    return ModeSpan(name, run[0][0], run[-1][1], found[len(found) // 2].closed, figures, worst)


def _gaps(seen: Seen, edges: list[float]) -> list[Gap]:
    found: list[Gap] = []
    for (begin, listed), end in zip(seen, edges, strict=True):
        if not all(mode.closed for mode in listed):
            continue
        reasons = tuple(f"{mode.name}: {mode.closed}" for mode in listed)
        if found and found[-1].end == begin:
            found[-1] = found[-1]._replace(end=end)
        else:
            found.append(Gap(begin, end, reasons))
    return found
