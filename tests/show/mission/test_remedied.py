"""The mission of workbook 01 flown with remedies: a line that tells how far, and how to stop."""

from __future__ import annotations

import os
import signal
from itertools import pairwise

import pytest

from mplan.show import mission, progress


@pytest.fixture
def lines(monkeypatch):
    """What stood in the line, one after the other, from the first flight on."""
    found = []

    class Handle:
        def update(self, words):
            found.append(str(words))

    def display(words, *, display_id):
        Handle().update(words)
        return Handle()

    monkeypatch.setattr(progress, "display", display)
    monkeypatch.setattr(progress, "QUICK", 0.0)
    return found


def test_it_tells_how_many_flights(overheight, lines):
    """The count grows, and goes when all is flown; the plan is the one that is always made."""
    plan = mission.flown(overheight.scenario)
    assert plan.findings == overheight.findings
    counts = [int(line.split(": ")[1].split()[0]) for line in lines[:-1]]
    assert len(counts) > 3
    assert all(a < b for a, b in pairwise(counts))
    assert "to stop, interrupt the kernel" in lines[0]
    assert lines[-1] == ""


def test_an_interruption_leaves_the_rest(overheight, lines, monkeypatch):
    """The plan is there, the findings say why they have no remedies, and the kernel goes on."""
    before = signal.getsignal(signal.SIGINT)
    monkeypatch.setattr(
        progress, "display", lambda *words, **more: os.kill(os.getpid(), signal.SIGINT)
    )
    plan = mission.flown(overheight.scenario)
    assert signal.getsignal(signal.SIGINT) is before
    [stop] = [x for x in plan.findings if x.rank == 0 and not x.cause]
    assert "stopped" in stop.unsolved
    assert plan.verdict == overheight.verdict


def test_quick_work_shows_no_line(reference_landing, lines, monkeypatch):
    monkeypatch.setattr(progress, "QUICK", 60.0)
    mission.flown(reference_landing)
    assert lines == []
