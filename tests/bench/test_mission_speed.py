"""How long a planner waits: a re-flight, a whole command, an import. Shown, not asserted."""

from __future__ import annotations

import subprocess
import sys
from itertools import count
from pathlib import Path

import mplan

DEMO = Path(__file__).parents[1] / "missions" / "reference_landing.toml"


def test_reflight(benchmark, reference_landing):
    """One slider move: a changed scenario, checked, flown with integrated arcs and judged."""
    altitudes = count()
    first = mplan.fly(reference_landing)

    def move() -> mplan.Plan:
        altitude = 185.0 + 0.01 * (next(altitudes) % 1000)
        changed = reference_landing.change("orbits.parking_altitude", f"{altitude} km")
        return mplan.fly(changed, like=first)

    plan = benchmark(move)
    assert plan.flight.splash is not None


def test_brief_start_to_finish(benchmark):
    """The whole command in a new process, integrators kept from an earlier run."""
    command = [sys.executable, "-m", "mplan.cli", "brief", str(DEMO), "--accept-decisions"]
    run = benchmark.pedantic(
        lambda: subprocess.run(command, capture_output=True, text=True), rounds=3, warmup_rounds=1
    )
    assert run.returncode == 0


def test_import(benchmark):
    """`import mplan` in a new process, the interpreter's own start included."""
    command = [sys.executable, "-c", "import mplan; mplan.load"]
    run = benchmark.pedantic(lambda: subprocess.run(command, check=True), rounds=5, warmup_rounds=1)
    assert run.returncode == 0
