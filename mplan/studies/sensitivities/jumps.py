"""How near a mission is to a jump: a change of some per cent past which a margin falls or rises.

One engine more that is shut down for the acceleration limit is such a jump; no slope tells of it.
The flights of one and two steps either way are there; one more a side is flown further out. Where
a margin leaves the curve through the near ones, the place is halved down. A jump stays as large as
it is however close together the flights are; a curve and a bend do not, and are not told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from mplan.flight.record import Flight
from mplan.scenario.wording import plain

KINDS = ("dry mass", "specific impulse", "thrust")  # others jump at every revolution
REACH = 6.0  # steps, to the furthest flight
DEGREE = 2  # of the curve, where there are flights on both sides; one less where on one side
LEAST = 1.0  # m/s that a jump is at least
HALVINGS, STAYS = 5, 0.5  # and what share of it is left after them, at least
SOON = 2  # halvings, after which what is no jump is known as such

Margins = Mapping[str, float]
Curves = Mapping[str, Callable[[float], float]]


class FlownStep(NamedTuple):
    """As much of the flight of an `amount` as a jump is found by: see `happenings`."""

    amount: float
    margins: Margins  # m/s, by burn
    happenings: Mapping[str, int]


Flights = Callable[[float], FlownStep | None]  # of an amount; None where it cannot be flown


class Jump(NamedTuple):
    """Between `near` and `far` (in the variation's unit) the margin after `burn` jumps `by` [m/s].

    `cause` is what else is not the same on both sides, in words; "" where nothing was found.
    """

    near: float
    far: float
    burn: str
    by: float
    cause: str


def nearest(step: float, flown: Iterable[FlownStep], fly: Flights) -> Iterator[Jump]:
    """Yield the nearest jump on either side, where there is one.

    `flown` are the flights that there are, that of 0 among them; `fly` flies one more. All have
    the same burns.
    """
    steps = sorted(flown, key=lambda one: one.amount)
    curves = _curves(steps)
    if steps[-1].amount > 0.0:
        steps += filter(None, [fly(REACH * step)])
    if steps[0].amount < 0.0:
        steps[:0] = filter(None, [fly(-REACH * step)])
    here = next(i for i, one in enumerate(steps) if one.amount == 0.0)
    for side in (steps[here:], steps[here::-1]):
        found = (_between(a, b, curves, fly) for a, b in pairwise(side))
        yield from (jump for jump in [next(filter(None, found), None)] if jump)


def _curves(steps: Sequence[FlownStep]) -> Curves:
    """Return a smooth curve by margin, the best through some flights."""
    amounts = np.array([one.amount for one in steps])
    degree = DEGREE if amounts[0] < 0.0 < amounts[-1] else DEGREE - 1
    return {
        name: np.polynomial.Polynomial.fit(amounts, [x.margins[name] for x in steps], degree)
        for name in steps[0].margins
    }


def _off(a: FlownStep, b: FlownStep, burn: str, curves: Curves) -> float:
    """Return by what a margin leaves its curve from one flight to the next [m/s]."""
    curve = curves[burn]
    went = float(curve(b.amount) - curve(a.amount))
    return b.margins[burn] - a.margins[burn] - went


def _between(a: FlownStep, b: FlownStep, curves: Curves, fly: Flights) -> Jump | None:
    """Return the jump between two steps, if there is one and not a curve."""
    burn = max(curves, key=lambda name: abs(_off(a, b, name, curves)))
    first = _off(a, b, burn, curves)
    if abs(first) < LEAST:
        return None
    for halved in range(1, HALVINGS + 1):
        middle = fly((a.amount + b.amount) / 2.0)
        if middle is None:
            return None
        halves = ((a, middle), (middle, b))
        a, b = max(halves, key=lambda half: abs(_off(half[0], half[1], burn, curves)))
        left = abs(_off(a, b, burn, curves)) / abs(first)
        if halved >= SOON and left < STAYS:
            return None
    by = b.margins[burn] - a.margins[burn]
    return Jump(a.amount, b.amount, burn, by, _cause(a.happenings, b.happenings))


def _cause(was: Mapping[str, int], is_: Mapping[str, int]) -> str:
    """Return what happens more or less often past a jump than short of it."""
    changes = {what: is_.get(what, 0) - was.get(what, 0) for what in {**was, **is_}}
    told = (f"{abs(n)} {'more' if n > 0 else 'fewer'}: {x}" for x, n in changes.items() if n)
    return "; ".join(told)


def happenings(flight: Flight) -> Counter[str]:
    """Return how often which things happen in the climb, and how often engines start."""
    found: Counter[str] = Counter()
    if flight.climb is not None:
        for mark in flight.climb.track.events:
            found[f"{mark.what}, {plain(mark.name)}"] += 1
    for (element, engine), times in flight.end.ledger.starts.items():
        found[f"start of {plain(engine)}, {plain(element)}"] += times
    return found
