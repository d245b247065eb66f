"""A good schedule found by trying orders: each launch moved forward or back in turn.

Begins with the order of the linear relaxation and with that of who can go first. So many orders
are tried, counted and not timed, that the answer is the same each time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

from mplan.programme.searching.placing import PlacedLaunches, Placing

WORK = 24_000  # launches placed in all, about half a second; own choice
FEW = 8  # launches, of which the solver finds the best days by itself; own choice
SHAKEN = 4  # launches of an order that are moved at random; own choice


def improved(place: Placing, relaxed: Mapping[str, float]) -> PlacedLaunches:
    """Return the best schedule found; `relaxed` has days of launches to begin the order with.

    Where no single move is better, the best order is shaken and tried from there.
    """
    free = [key for key, each in place.asked.items() if each.day is None]
    began = [place.placed(), *([place.placed(relaxed)] if relaxed else [])]
    best = here = min(began, key=lambda x: x.cost)
    if len(free) < 2:
        return best
    shaken, moves = Random(0), _moves(len(free))
    order = _order(free, here)
    idle = 0  # moves tried since one was better
    for _ in range(max(1, WORK // len(place.asked))):
        if idle > len(order) * (len(order) - 1):
            if len(order) <= FEW:
                break
            order, idle = _order(free, best), 0
            for _ in range(SHAKEN):
                order.insert(shaken.randrange(len(order)), order.pop(shaken.randrange(len(order))))
            here = place.placed(_ranked(order))
        a, b = next(moves)
        tried = order.copy()
        tried.insert(b, tried.pop(a))
        found = place.placed(_ranked(tried))
        idle += 1
        if found.cost < here.cost:
            here, order, idle = found, tried, 0
        best = min(best, here, key=lambda x: x.cost)
    return best


def _order(keys: list[str], found: PlacedLaunches) -> list[str]:
    return sorted(keys, key=lambda key: (found.launches[key], key))


def _ranked(order: list[str]) -> dict[str, float]:
    return {key: float(i) for i, key in enumerate(order)}


def _moves(count: int) -> Iterator[tuple[int, int]]:
    """Yield moves from one place of an order to another, near ones first, again and again."""
    while True:
        for apart in range(1, count):
            for a in range(count - apart):
                yield a, a + apart
                if apart > 1:
                    yield a + apart, a
