"""An interruption while launches are scheduled, and after: heard by Python, never by the solver."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading

import pytest

from mplan.programme.searching.solving import _Days
from tests.conftest import DEMO

PROGRAMME = DEMO.parent / "programmes" / "cornice.toml"
AFTER = """
import os, signal, sys
from mplan.programme import load_programme, plan_programme
plan_programme(load_programme(sys.argv[1]), remedies=False, fly_windows=False)
try:
    os.kill(os.getpid(), signal.SIGINT)
except KeyboardInterrupt:
    print("heard")
"""


class Endless:
    """A solver that searches until it is told to stop."""

    def __init__(self):
        self.told = threading.Event()

    def solve(self, model):
        assert self.told.wait(30.0)

    def stop_search(self):
        self.told.set()


pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals are sent as POSIX has them")


def test_an_interruption_stops_the_search():
    """At once, where the solver keeps the thread it runs in to itself."""
    days, solver = object.__new__(_Days), Endless()
    days.model = None
    threading.Timer(0.2, os.kill, (os.getpid(), signal.SIGINT)).start()
    with pytest.raises(KeyboardInterrupt):
        days._searched(solver)
    assert solver.told.is_set()


def test_an_interruption_after_a_search_is_one():
    """The solver would else leave a process, or a kernel, that the next one ends outright."""
    run = subprocess.run(
        [sys.executable, "-c", AFTER, str(PROGRAMME)], capture_output=True, text=True, timeout=300
    )
    assert (run.returncode, run.stdout) == (0, "heard\n"), run.stderr
