"""Work in a thread, and studies in cells: with somebody at the page, and with nobody."""

from __future__ import annotations

import time
from threading import Event

import pytest

from mplan.show.notebook import Words
from mplan.show.panels import in_cell, stand_in
from mplan.show.panels.in_cell import Study, StudyRun

LONG = 30.0  # s


class Shown:
    """Stands in for the outputs of cells."""

    def __init__(self):
        self.kept = []

    def display(self, *things, display_id=False, raw=False):
        self.kept += [[each] for each in things]
        return Slot(self.kept[-1]) if display_id else None


class Slot:
    def __init__(self, states):
        self.states = states

    def update(self, thing):
        self.states.append(thing)


@pytest.fixture
def page(monkeypatch):
    shown = Shown()
    for module in (in_cell, stand_in):
        monkeypatch.setattr(module, "display", shown.display)
    monkeypatch.setattr(StudyRun, "_line", ())
    monkeypatch.setattr(StudyRun, "_newest", {})
    monkeypatch.setattr(StudyRun, "pictured", 0.0)
    return shown


class Work:
    """Three steps, each let go from outside."""

    def __init__(self):
        self.go_on, self.began = Event(), Event()

    def __call__(self, telling):
        found = []
        for step in range(1, 4):
            found.append(step)
            telling.progress(step, 3)
            telling.fill(lambda: list(found))
            self.began.set()
            assert self.go_on.wait(LONG)
            if telling.stopped():
                break
        return found


def shown(found):
    return Words("", f"picture of {found}"), Words("", f"words of {found}"), f"Found {found}."


@pytest.fixture
def work():
    one = Work()
    yield one
    one.go_on.set()


def study(work, start="Fly steps"):
    return Study(start, "{} of {} steps", work, shown)


def test_nobody_at_the_page(page, work):
    """The study is over when the cell is; nothing is left to press."""
    work.go_on.set()
    in_cell.run(study(work))
    assert [repr(each[-1]) for each in page.kept] == ["picture of [1, 2, 3]", "words of [1, 2, 3]"]


def test_nothing_is_flown_before_it_is_shown(work):
    assert "Fly steps" in repr(study(work))
    assert not work.began.is_set()


def test_somebody_at_the_page(page, work, monkeypatch):
    """The cell returns at once; what is found so far is shown, and in the end the whole."""
    monkeypatch.setattr(in_cell, "attended", lambda: True)
    run = in_cell.run(study(work))
    assert work.began.wait(LONG)
    assert run.start.disabled
    assert not run.stop.disabled
    until = time.monotonic() + LONG
    while run.found is None and time.monotonic() < until:
        time.sleep(0.01)
    assert run.found == [1]
    work.go_on.set()
    run.thread.join(LONG)
    assert run.saying.value == "Found [1, 2, 3]."
    assert run.bar.value == run.bar.max == 3
    assert [repr(each[-1]) for each in page.kept[2:]] == [
        "picture of [1, 2, 3]",
        "words of [1, 2, 3]",
    ]
    assert not run.start.disabled


def test_stop_keeps_what_was_found(page, work, monkeypatch):
    monkeypatch.setattr(in_cell, "attended", lambda: True)
    run = in_cell.run(study(work))
    assert work.began.wait(LONG)
    run.stop.click()
    work.go_on.set()
    run.thread.join(LONG)
    assert run.found == [1]
    assert run.saying.value == "Stopped at 1 of 3 steps. Found [1]."
    assert repr(page.kept[-1][-1]) == "words of [1]"


def test_stop_before_the_first_flight_counts_none(page, monkeypatch):
    """How many there would have been is not known then."""
    monkeypatch.setattr(in_cell, "attended", lambda: True)
    waits = Event()

    def nothing(telling):
        assert waits.wait(LONG)
        return []

    run = in_cell.run(study(nothing))
    run.stop.click()
    waits.set()
    run.thread.join(LONG)
    assert run.saying.value == "Stopped before the first flight. Found []."


def test_studies_wait_for_one_another(page, work, monkeypatch):
    """The second says that it waits, can be stopped meanwhile, and begins when the first ends."""
    monkeypatch.setattr(in_cell, "attended", lambda: True)
    first, second, third = in_cell.run(study(work)), Work(), Work()
    waiting, last = in_cell.run(study(second, "Second")), in_cell.run(study(third, "Third"))
    assert work.began.wait(LONG)
    assert not second.began.wait(3 * in_cell.WAIT)
    assert "Waits" in waiting.saying.value
    waiting.stop.click()
    waiting.thread.join(LONG)
    assert "Not begun." in waiting.saying.value
    assert not third.began.wait(3 * in_cell.WAIT), "the first still has the cores"
    second.go_on.set()
    third.go_on.set()
    work.go_on.set()
    last.thread.join(LONG)
    assert (first.found, waiting.found, last.found) == ([1, 2, 3], None, [1, 2, 3])
    assert not second.began.is_set()


def test_a_cell_that_is_run_again_stops_what_ran_in_it(page, work, monkeypatch):
    """Its buttons are gone with its outputs: nobody could stop it."""
    monkeypatch.setattr(in_cell, "attended", lambda: True)
    before, again = in_cell.run(study(work)), Work()
    assert work.began.wait(LONG)
    again.go_on.set()
    after = in_cell.run(study(again))
    work.go_on.set()
    after.thread.join(LONG)
    assert (before.found, after.found) == ([1], [1, 2, 3])


def test_a_study_that_fails_says_so(page, monkeypatch):
    """The error stands beside the button, which can be pressed again; the next one begins."""
    monkeypatch.delenv("MPLAN_RAISE", raising=False)
    monkeypatch.setattr(in_cell, "attended", lambda: True)
    failed = in_cell.run(study(lambda telling: 1 / 0))
    failed.thread.join(LONG)
    assert "ZeroDivisionError" in failed.saying.value
    assert not failed.start.disabled
    work = Work()
    work.go_on.set()
    after = in_cell.run(study(work))
    after.thread.join(LONG)
    assert after.found == [1, 2, 3]


def test_without_a_kernel_nobody_is_there():
    assert not in_cell.attended()
