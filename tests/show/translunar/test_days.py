"""The windows of some days in a cell: told while they are flown, and what there is when stopped."""

from __future__ import annotations

import os
import signal

from mplan.show import progress, translunar
from mplan.show.translunar import days as asked


def test_days_are_told_and_an_interruption_keeps_them(reference_landing, monkeypatch):
    """Days that are flown are returned, those after the interruption are not asked for."""
    said = []

    def scan(scenario, first, days, *, done, stopped):
        found = []
        for day in range(days):
            if stopped():
                break
            found.append(day)
            done(len(found), days)
            if day == 1:
                os.kill(os.getpid(), signal.SIGINT)
        return found

    class Handle:
        def update(self, words):
            said.append(str(words))

    monkeypatch.setattr(progress, "QUICK", 0.0)
    monkeypatch.setattr(
        progress, "display", lambda words, **more: Handle().update(words) or Handle()
    )
    monkeypatch.setattr(asked, "scan_windows", scan)
    assert translunar.scanned(reference_landing, 5) == [0, 1]
    told = [f"Days: {n} of 5 flown; {progress.STOP}." for n in (1, 2)]
    assert said == [*told, ""]
