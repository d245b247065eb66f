"""A good schedule found by trying orders: each launch moved forward or back in turn.

Begins with the order of the linear relaxation and with that of who can go first. So many orders
are tried, counted and not timed, that the answer is the same each time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from mplan.programme.searching.placing import PlacedLaunches, Placing

WORK = 12_000  # launches placed in all, about a third of a second; own choice


def improved(place: Placing, relaxed: Mapping[str, float]) -> PlacedLaunches:
    """Return the best schedule found; `relaxed` has days of launches to begin the order with."""
    best = place.placed()
    free = [key for key, each in place.asked.items() if each.day is None]
    if len(free) < 2:
        return best
    tries = max(1, WORK // len(place.asked))
    if relaxed:
        first = place.placed(relaxed)
        best = min(best, first, key=lambda x: x.cost)
    order = sorted(free, key=lambda key: (best.launches[key], key))
    moves = _moves(len(order))
    last_better = 0
    for count in range(tries):
        a, b = next(moves)
        tried = order.copy()
        tried.insert(b, tried.pop(a))
        found = place.placed({key: float(i) for i, key in enumerate(tried)})
        if found.cost < best.cost:
            best, order, last_better = found, tried, count
        elif count - last_better > len(order) * (len(order) - 1):
            break  # no move is better
    return best


def _moves(count: int) -> Iterator[tuple[int, int]]:
    """Yield moves from one place of an order to another, near ones first, again and again."""
    while True:
        for apart in range(1, count):
            for a in range(count - apart):
                yield a, a + apart
                if apart > 1:
                    yield a + apart, a
