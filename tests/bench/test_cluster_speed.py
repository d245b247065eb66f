"""How well two workers of a cluster share cases that keep a core busy, beside one worker."""

from __future__ import annotations

import time

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


@pytest.mark.parametrize("ask", [(busy, 2_000_000), (still, 0.3)], ids=["busy", "still"])
@pytest.mark.parametrize("workers", [1, 2])
def test_workers_of_a_cluster(benchmark, tmp_path, workers, ask):
    """Efficiency: what one took, over twice what two took; busy ones tell on an idle machine."""
    work, size = ask
    with cluster(tmp_path) as made:
        for _ in range(workers):
            made.worker()
        executor = DaskCluster(made.address)
        list(executor.answers(work, [(size,)] * 4 * workers))  # all are there, and warm
        begun = time.perf_counter()
        found = benchmark.pedantic(
            lambda: list(executor.answers(work, [(size,)] * CASES)), rounds=1
        )
        taken = time.perf_counter() - begun
    assert sorted(index for index, _ in found) == list(range(CASES))
    before = _ONE.setdefault(work.__name__, taken)
    if workers == 2:
        benchmark.extra_info["efficiency"] = before / (2.0 * taken)
        told = f"2 workers {taken:.1f} s, 1 worker {before:.1f} s: {before / 2 / taken:.2f}"
        print(f"\n{work.__name__}: {told}")
