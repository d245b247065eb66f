"""The coverage of a whole mission, its cells looked at by several processes."""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache

from mplan.contingencies.ways_out.cells import TimeCell, burns_in_space, cells, looked_over
from mplan.contingencies.ways_out.coverage import WaysCoverage, covered
from mplan.contingencies.ways_out.failures import FAILURES, FailureName
from mplan.contingencies.ways_out.looks import WaysLook
from mplan.flight import walk
from mplan.flight.record import Flight
from mplan.studies import executors
from mplan.studies.executors import Executor

Failures = tuple[FailureName, ...]


def of(
    flight: Flight,
    *,
    cabins: tuple[str, ...] = (),
    failures: Failures = FAILURES,
    workers: int | None = None,
    executor: Executor | None = None,
    done: Callable[[int, int], None] = lambda done, total: None,
    so_far: Callable[[Callable[[], WaysCoverage]], None] = lambda found: None,
    stopped: Callable[[], bool] = lambda: False,
) -> WaysCoverage:
    """Return the coverage of a flight, as far as it was flown.

    `workers` processes share the work (1: none but this one), or an `executor` does it. After each
    cell `done` is told how many of how many are looked at, `so_far` given what returns the coverage
    found by then, and `stopped` asked whether to leave the rest, as Ctrl-C does too.
    """
    asked = sorted(cells(flight, cabins), key=lambda cell: -(cell.end - cell.begin) / cell.step)
    asked.sort(key=lambda cell: not burns_in_space(flight, cell))  # what takes longest is not last
    flown: dict[TimeCell, tuple[WaysLook, ...]] = {}
    who = executor or executors.chosen(workers, len(asked))
    executors.make_ready(who, len(asked))
    try:
        for index, looks in who.answers(_looked, _questions(flight, asked, failures), stopped):
            flown[asked[index]] = looks
            done(len(flown), len(asked))
            so_far(lambda: covered(flown, asked, failures))
    except KeyboardInterrupt:  # what was flown is kept, and says that it is not all
        pass
    return covered(flown, asked, failures)


def _questions(
    flight: Flight, asked: list[TimeCell], failures: Failures
) -> Iterator[tuple[bytes, TimeCell, Failures]]:
    """Yield each cell with what its flight is flown from again, the same to the bit."""
    climbs: Mapping[str, object] = dict(flight.climbs_of_others)
    start = pickle.dumps((flight.scenario, flight.climb, climbs))
    yield from ((start, cell, failures) for cell in asked)


@lru_cache(maxsize=1)
def _flight(start: bytes) -> Flight:
    """Return the flight, flown once a process."""
    scenario, climb, climbs = pickle.loads(start)
    return walk.fly(scenario, climb, climbs)


def _looked(start: bytes, cell: TimeCell, failures: Failures) -> tuple[WaysLook, ...]:
    return looked_over(_flight(start), cell, failures)
