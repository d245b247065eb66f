"""The critical path method: earliest and latest starts of a network (Kelley and Walker 1959).

Times are whole days. `after` has what each task follows: once that ends or, for a pair in `lags`,
so many days after that begins.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from graphlib import TopologicalSorter

Links = Mapping[str, tuple[str, ...]]
Lags = Mapping[tuple[str, str], int]


def earliest_starts(
    takes: Mapping[str, int],
    after: Links,
    *,
    lags: Lags | None = None,
    releases: Mapping[str, int] | None = None,
) -> dict[str, int]:
    """Return the earliest start of each task: from its release on (0 where none is given)."""
    lags, releases = lags or {}, releases or {}
    starts: dict[str, int] = {}
    for key in TopologicalSorter(after).static_order():
        ready = (starts[x] + lags.get((x, key), takes[x]) for x in after.get(key, ()))
        starts[key] = max((releases.get(key, 0), *ready))
    return starts


def latest_starts(
    takes: Mapping[str, int],
    after: Links,
    finish: int,
    *,
    lags: Lags | None = None,
    ends: Mapping[str, int] | None = None,
    held: Callable[[str, int], int] | None = None,
) -> dict[str, int]:
    """Return the latest start of each task: all end by `finish`, single ones by their `ends`.

    `held(key, start)` gives the latest start up to `start` that a task may have, as one that
    waits for a launch window.
    """
    lags = lags or {}
    starts = {key: finish - days for key, days in takes.items()}
    starts |= {key: end - takes[key] for key, end in (ends or {}).items()}
    for key in reversed(list(TopologicalSorter(after).static_order())):
        if held:
            starts[key] = held(key, starts[key])
        for x in after.get(key, ()):
            starts[x] = min(starts[x], starts[key] - lags.get((x, key), takes[x]))
    return starts
