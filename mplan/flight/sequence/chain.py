"""Elements joined nose to foot, so that it can be told what an engine would burn into.

A chain is listed from one end to the other. On the pad that is from the foot up, every nozzle
pointing down the list; a craft that has turned round and docked stands in it the other way round.
What stands beside another element hangs on to that one and has no place of its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from mplan.scenario import Scenario


class Link(NamedTuple):
    """An element in a chain; `turned` when its nozzles point up the list."""

    name: str
    turned: bool = False


Chain = tuple[Link, ...]


def on_pad(scenario: Scenario) -> Chain:
    """Return the stack without what stands beside it."""
    stack = (x for x in scenario.stack if scenario.elements[x].beside is None)
    return tuple(Link(name) for name in stack)


def names(chain: Chain) -> tuple[str, ...]:
    """Return the elements of a chain."""
    return tuple(link.name for link in chain)


def without(chain: Chain, gone: Iterable[str]) -> Chain:
    """Return a chain less some elements."""
    left = set(gone)
    return tuple(link for link in chain if link.name not in left)


def behind_nozzles(chain: Chain, element: str) -> str | None:
    """Return the element that the nozzles of `element` point at, if there is one."""
    return _next(chain, element, nozzles=True)


def on_nose(chain: Chain, element: str) -> str | None:
    """Return the element on the nose of `element`, where its docking port is, if there is one."""
    return _next(chain, element, nozzles=False)


def _next(chain: Chain, element: str, *, nozzles: bool) -> str | None:
    place = names(chain).index(element)
    up = chain[place].turned == nozzles
    beyond = place + 1 if up else place - 1
    return chain[beyond].name if 0 <= beyond < len(chain) else None


def docked(moving: Chain, element: str, host: Chain, target: str) -> Chain:
    """Return two chains joined nose to nose."""
    return (*_nose_last(moving, element), *_flipped(_nose_last(host, target)))


def turned_round(chain: Chain, element: str, target: str) -> Chain:
    """Return one chain whose upper part has left, turned round and docked to the lower one."""
    places = names(chain)
    low = min(places.index(element), places.index(target))
    return (*chain[: low + 1], *_flipped(chain[low + 1 :]))


def _nose_last(chain: Chain, element: str) -> Chain:
    """Return a chain listed so that the nose of `element` points up the list."""
    link = next(x for x in chain if x.name == element)
    return _flipped(chain) if link.turned else chain


def _flipped(chain: Chain) -> Chain:
    return tuple(Link(x.name, not x.turned) for x in reversed(chain))
