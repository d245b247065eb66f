"""Which failures leave a way home when: bands over the mission, and the gaps in them.

Crew safety rests on these: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import NamedTuple

from mplan.contingencies.ways_out.cells import TimeCell, may_hide
from mplan.contingencies.ways_out.failures import FAILURES, FailureName
from mplan.contingencies.ways_out.looks import CLOSED, NOT_EXAMINED, OPEN, Kind, WayLeft, WaysLook
from mplan.contingencies.ways_out.way_out import WayOut

NOT_FLOWN = "not flown"
NOT_SETTLED = "no way was found for a moment between two that have one: not settled"
ROUNDED = 1.0  # s, within which gaps of several failures are one
MOMENT = 2.0  # s, below which a gap between open times is as likely one of the search (our choice)


class WaysSpan(NamedTuple):
    """A time [s since lift-off] over which one failure leaves the same kind of answer.

    `ways` are the names of the best ways in it, in turn; `tightest` the one of these with the
    least margin, or of a closed span the one that lacks least; `reason` the one in its middle;
    `longest` the name of the way that is the best one for the longest time in all.
    """

    begin: float
    end: float
    kind: Kind
    ways: tuple[str, ...]
    tightest: WayOut | None
    reason: str
    longest: str = ""

    @property
    def duration(self) -> float:
        """How long it lasts [s]."""
        return self.end - self.begin


class WaysBand(NamedTuple):
    """One failure in one cabin, over all the time that people are in it."""

    cabin: str
    failure: FailureName
    spans: tuple[WaysSpan, ...]


class WaysGap(NamedTuple):
    """A time [s since lift-off] in which some failures leave a cabin's people no way home."""

    cabin: str
    failures: tuple[FailureName, ...]
    begin: float
    end: float
    reason: str
    nearest: WayOut | None  # the way that lacks least; None where there is none at all

    @property
    def duration(self) -> float:
        """How long it lasts [s]."""
        return self.end - self.begin


@dataclass(frozen=True)
class WaysCoverage:
    """All bands, cabin by cabin, and the gaps, the longest first.

    `looked` counts the looks that were flown; `stopped` says that some cells were left out, which
    then are `not examined`. An edge is as fine as its cell says. `unseen` [s] is how long a gap may
    be that lies between two looks, by the rates at which margins change (`spare.longest_gap`).
    """

    bands: tuple[WaysBand, ...]
    gaps: tuple[WaysGap, ...]
    looked: int
    stopped: bool = False
    unseen: float = 0.0

    def unexamined(self) -> Iterator[tuple[WaysBand, WaysSpan]]:
        """Yield every span that was not examined."""
        for band in self.bands:
            for span in band.spans:
                if span.kind == NOT_EXAMINED:
                    yield band, span


def covered(
    flown: Mapping[TimeCell, Sequence[WaysLook]],
    asked: Sequence[TimeCell],
    failures: Sequence[FailureName] = FAILURES,
) -> WaysCoverage:
    """Return the coverage that looks tell, of all cells `asked`; some may not have been flown."""
    cabins = dict.fromkeys(cell.cabin for cell in asked)
    bands = tuple(
        WaysBand(cabin, failure, tuple(_spans(flown, asked, cabin, failure)))
        for cabin in cabins
        for failure in failures
    )
    looked = sum(len(looks) for looks in flown.values())
    left_out = any(x not in flown for x in asked)
    unseen = max((gap for looks in flown.values() for gap in may_hide(looks)), default=0.0)
    return WaysCoverage(bands, tuple(_gaps(bands)), looked, left_out, unseen)


class _Piece(NamedTuple):
    """What a look stands for: from half-way to the one before it to half-way to the next."""

    begin: float
    end: float
    seen: WayLeft


def _spans(
    flown: Mapping[TimeCell, Sequence[WaysLook]],
    asked: Sequence[TimeCell],
    cabin: str,
    failure: FailureName,
) -> Iterator[WaysSpan]:
    """Yield the spans of one band; adjoining pieces of one kind are one span.

    A gap of a moment between open times is `not examined`: solvers fail where two ways meet.
    """
    own = sorted((x for x in asked if x.cabin == cabin), key=lambda cell: cell.begin)
    pieces = [piece for cell in own for piece in _pieces(cell, flown.get(cell), failure)]
    runs: list[list[_Piece]] = []
    for piece in pieces:
        if runs and _goes_on(runs[-1][-1], piece):
            runs[-1].append(piece)
        else:
            runs.append([piece])
    spans = [_span(run) for run in runs]
    for before, span, after in zip([None, *spans], spans, [*spans[1:], None], strict=False):
        yield _unsettled(span) if _for_a_moment(before, span, after) else span


def _for_a_moment(before: WaysSpan | None, span: WaysSpan, after: WaysSpan | None) -> bool:
    """Tell whether a span is a gap of a moment between two that are open."""
    amid = before is not None and after is not None and before.kind == after.kind == OPEN
    return amid and span.kind == CLOSED and span.duration <= MOMENT


def _unsettled(span: WaysSpan) -> WaysSpan:
    return span._replace(kind=NOT_EXAMINED, ways=(), tightest=None, reason=NOT_SETTLED, longest="")


def _goes_on(one: _Piece, then: _Piece) -> bool:
    """Tell whether two pieces are of one span; what is not examined is so for one reason."""
    alike = one.seen.kind == then.seen.kind and then.begin - one.end <= ROUNDED
    return alike and (one.seen.kind != NOT_EXAMINED or one.seen.reason == then.seen.reason)


def _pieces(
    cell: TimeCell, looks: Sequence[WaysLook] | None, failure: FailureName
) -> Iterator[_Piece]:
    if looks is None:
        yield _Piece(cell.begin, cell.end, WayLeft(NOT_EXAMINED, None, NOT_FLOWN))
        return
    middles = [(one.elapsed + then.elapsed) / 2.0 for one, then in pairwise(looks)]
    edges = [cell.begin, *middles, cell.end]
    for (begin, end), each in zip(pairwise(edges), looks, strict=True):
        yield _Piece(begin, end, each.seen[failure])


def _span(run: Sequence[_Piece]) -> WaysSpan:
    ways = [piece.seen.way for piece in run if piece.seen.way is not None]
    closed = run[0].seen.kind == CLOSED
    known = [way for way in ways if way.margin is not None] or ways
    choose = max if closed else min
    return WaysSpan(
        run[0].begin,
        run[-1].end,
        run[0].seen.kind,
        tuple(dict.fromkeys(way.name for way in ways)),
        choose(known, key=lambda way: way.margin or 0.0, default=None),
        run[len(run) // 2].seen.reason,
        _longest(run),
    )


def _longest(run: Sequence[_Piece]) -> str:
    """Return the name of the way that is the best one for the longest time in all; "" of none."""
    lasts: dict[str, float] = {}
    for piece in run:
        if piece.seen.way is not None:
            name = piece.seen.way.name
            lasts[name] = lasts.get(name, 0.0) + piece.end - piece.begin
    return max(lasts, key=lambda name: lasts[name], default="")


def _gaps(bands: Iterable[WaysBand]) -> list[WaysGap]:
    """Return the closed spans, those of several failures at one time together, longest first."""
    found = [
        (band.cabin, round(span.begin / ROUNDED), round(span.end / ROUNDED), band.failure, span)
        for band in bands
        for span in band.spans
        if span.kind == CLOSED
    ]
    order = {failure: i for i, failure in enumerate(FAILURES)}
    found.sort(key=lambda x: (*x[:3], order[x[3]]))
    gaps = []
    for (cabin, _, _), each in groupby(found, key=lambda x: x[:3]):
        same = list(each)
        first = same[0][4]
        failures = tuple(x[3] for x in same)
        gaps.append(WaysGap(cabin, failures, first.begin, first.end, first.reason, first.tightest))
    return sorted(gaps, key=lambda gap: (-gap.duration, gap.begin))
