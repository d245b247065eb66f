"""Which thing of one plan is which of another: matched by what they have in common."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Hashable, Sequence
from typing import TypeVar

Thing = TypeVar("Thing")


def paired(
    first: Sequence[Thing], second: Sequence[Thing], *sames: Callable[[Thing], Hashable]
) -> list[tuple[Thing | None, Thing | None]]:
    """Return the things of two rows in pairs, None beside one that has no counterpart.

    Two make a pair if the first of `sames` is equal for both; what is then left over is asked the
    next. Of several alike the earlier ones are paired. The order is that of the first row; what
    only the second has stands before its next one that has a counterpart.

    >>> paired(["go", "dock", "end"], ["go", "land", "end"], str)
    [('go', 'go'), ('dock', None), (None, 'land'), ('end', 'end')]
    """
    partner = _partners(first, second, sames)
    taken = set(partner.values())
    alone = deque(place for place in range(len(second)) if place not in taken)
    found: list[tuple[Thing | None, Thing | None]] = []
    for place, each in enumerate(first):
        if place not in partner:
            found.append((each, None))
            continue
        while alone and alone[0] < partner[place]:
            found.append((None, second[alone.popleft()]))
        found.append((each, second[partner[place]]))
    return found + [(None, second[place]) for place in alone]


def _partners(
    first: Sequence[Thing],
    second: Sequence[Thing],
    sames: Sequence[Callable[[Thing], Hashable]],
) -> dict[int, int]:
    """Return the place in the second row of each thing of the first that has a counterpart."""
    partner: dict[int, int] = {}
    for same in sames:
        free: defaultdict[Hashable, deque[int]] = defaultdict(deque)
        for place in sorted(set(range(len(second))) - set(partner.values())):
            free[same(second[place])].append(place)
        for place, each in enumerate(first):
            if place not in partner and free[same(each)]:
                partner[place] = free[same(each)].popleft()
    return partner
