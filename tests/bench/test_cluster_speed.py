"""How well two workers of a cluster share cases, beside one, and beside two plain processes.

Efficiency is what one took over twice what two took. The cores are shared with the scheduler, with
the client, and with whatever else the machine does: plain processes, which have neither, tell how
much two can reach there at the time.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import pytest

from mplan.studies.executors import DaskCluster
from tests.studies.cluster import cluster

CASES = 24
_ONE: dict[str, float] = {}  # s, that one worker took


def busy(turns: int) -> float:
    """Keep a core busy; there is nothing that two processes would wait for each other for."""
    x = 0.5
    for _ in range(turns):
        x = 3.6 * x * (1.0 - x)
    return x


def still(seconds: float) -> float:
    """Wait: what is lost then is lost on the way, whatever else the machine does."""
    time.sleep(seconds)
    return seconds


WORK = pytest.mark.parametrize(
    ("work", "size"), [(busy, 2_000_000), (still, 0.3)], ids=["busy", "still"]
)
WORKERS = pytest.mark.parametrize("workers", [1, 2])


@WORK
@WORKERS
def test_workers_of_a_cluster(benchmark, tmp_path, workers, work, size):
    """Each on a core of its own where the system can; all are there, and warm."""
    with cluster(tmp_path) as made:
        for core in range(workers):
            pinned(made.worker().pid, core)
        executor = DaskCluster(made.address)
        until = time.monotonic() + 60.0
        while len(answering(executor)) < workers:
            assert time.monotonic() < until, "no workers"
        measured(benchmark, "cluster", workers, work, lambda: asked(executor, work, size))


@WORK
@WORKERS
def test_plain_processes(benchmark, workers, work, size):
    """The machine's own ceiling: a pool of the standard library, warm too."""
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        list(pool.map(still, [0.2] * 2 * workers))
        measured(benchmark, "plain", workers, work, lambda: list(pool.map(work, [size] * CASES)))


def pinned(process: int, core: int) -> None:
    """Keep a process to one core, as far as there are so many."""
    if hasattr(os, "sched_setaffinity"):
        there = sorted(os.sched_getaffinity(0))
        os.sched_setaffinity(process, {there[core % len(there)]})


def answering(executor: DaskCluster) -> set[int]:
    """Return the processes that answer by now; each has its first questions behind it then."""
    return {pid for _, pid in executor.answers(at_work, [(0.05,)] * 8)}


def at_work(seconds: float) -> int:
    """Return the number of the process, after a while."""
    time.sleep(seconds)
    return os.getpid()


def asked(executor: DaskCluster, work: Callable[..., float], size: float) -> list[float]:
    """Return the answers of all cases in their order."""
    return [x for _, x in sorted(executor.answers(work, [(size,)] * CASES))]


def measured(
    benchmark: Callable[..., list[float]],
    what: str,
    workers: int,
    work: Callable[..., float],
    run: Callable[[], list[float]],
) -> None:
    """Time a run, and tell how it compares with that of one worker."""
    begun = time.perf_counter()
    found = benchmark.pedantic(run, rounds=1)
    taken = time.perf_counter() - begun
    assert len(found) == CASES
    before = _ONE.setdefault(f"{what} {work.__name__}", taken)
    if workers == 2:
        benchmark.extra_info["efficiency"] = before / (2.0 * taken)
        told = f"2 take {taken:.1f} s, 1 takes {before:.1f} s: {before / 2 / taken:.2f}"
        print(f"\n{what}, {work.__name__}: {told}")
