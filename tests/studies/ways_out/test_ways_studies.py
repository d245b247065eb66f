"""Coverage by processes or alone, stopped or not; one failure at one time, and what is refused."""

from __future__ import annotations

import pytest

from mplan.contingencies.ways_out.cells import burns_in_space, cells
from mplan.contingencies.ways_out.coverage import NOT_FLOWN
from mplan.physics.constants import HOUR
from mplan.scenario import ScenarioError
from mplan.studies import executors, ways_out
from mplan.studies.executors import InProcess
from mplan.studies.ways_out.asked import seconds

SHIP, LANDER = "crew_module", "ascent_stage"


@pytest.fixture(scope="module")
def flight(landing_plan):
    return landing_plan.flight


def test_progress_and_stop_keep_what_was_flown(flight):
    """Each cell is told of; told to stop after six it keeps the six and says that it stopped."""
    told = []
    found = ways_out.of(
        flight,
        cabins=(SHIP,),
        failures=("called off",),
        executor=InProcess(),
        done=lambda done, total: told.append((done, total)),
        stopped=lambda: len(told) == 6,
    )
    assert [n for n, _ in told] == [1, 2, 3, 4, 5, 6]
    assert told[0][1] == len(cells(flight, (SHIP,)))
    assert found.stopped
    assert found.looked >= 6
    assert NOT_FLOWN in {span.reason for _, span in found.unexamined()}


def test_cells_that_take_longest_are_not_left_for_the_end(flight):
    """Those with a burn in space are asked first, so that no process works on one alone."""
    begun = []

    class Noted:
        def answers(self, ask, questions, stopped=lambda: False):
            begun.extend(cell for _, cell, _ in questions)
            yield from ()

    ways_out.of(flight, cabins=(SHIP,), executor=Noted())
    burning = [burns_in_space(flight, cell) for cell in begun]
    assert sorted(begun) == sorted(cells(flight, (SHIP,)))
    assert 0 < sum(burning) < len(burning)
    assert burning == sorted(burning, reverse=True)


class CutOff:
    """An executor that Ctrl-C ends after some answers."""

    def answers(self, ask, questions, stopped=lambda: False):
        for index, question in enumerate(questions):
            if index == 3:
                raise KeyboardInterrupt
            yield index, ask(*question)


def test_ctrl_c_keeps_what_was_flown(flight):
    """A Ctrl-C is a stop: the answer is there, and says that it is not whole."""
    found = ways_out.of(flight, cabins=(SHIP,), failures=("called off",), executor=CutOff())
    assert found.stopped
    assert found.looked > 0


def test_processes_find_what_one_finds(flight):
    """The coverage of the climb is the same alone as by two processes."""
    some = {"cabins": (LANDER,), "failures": ("called off",)}
    alone = ways_out.of(flight, executor=InProcess(), **some)
    shared = ways_out.of(flight, executor=executors.chosen(2), **some)
    assert not shared.stopped
    told = [[(x.begin, x.end, x.kind, x.ways) for x in b.spans] for b in alone.bands]
    assert told == [[(x.begin, x.end, x.kind, x.ways) for x in b.spans] for b in shared.bands]


def test_one_failure_at_one_time(flight):
    """It names the burn that fails; of the ship where no cabin is named."""
    found = ways_out.at(flight, 30.0 * HOUR, "main engine lost")
    assert found.point.cabin == SHIP
    assert found.fails == "lunar-orbit insertion"
    assert ways_out.at(flight, 30.0 * HOUR, "called off").fails == ""


REFUSED = (
    (-600.0, "called off", "", r"at: found -0:10 since lift-off; accepted: from 0:00 to before"),
    (1e7, "called off", "", "when the flight ends"),
    (30 * HOUR, "called off", "attic", r'cabin: found "attic"; accepted: .*crew_module'),
    (30 * HOUR, "called off", LANDER, "when nobody is in ascent stage; accepted: from "),
    (30 * HOUR, "engine fire", "", r'failure: found "engine fire"; accepted: .*main engine lost'),
)


@pytest.mark.parametrize(("elapsed", "failure", "cabin", "said"), REFUSED)
def test_what_cannot_be_asked(flight, elapsed, failure, cabin, said):
    """One message with what was found and what is accepted."""
    with pytest.raises(ScenarioError, match=said):
        ways_out.at(flight, elapsed, failure, cabin)


def test_no_engine_is_left_to_fail(flight):
    """After the last burn no engine can fail; the message names when burns are."""
    with pytest.raises(ScenarioError, match=r"no burn comes; accepted: .*trans-Earth injection"):
        ways_out.at(flight, flight.duration - HOUR, "main engine lost")


def test_times_are_read():
    """Hours and minutes since lift-off, hours beyond a day; nothing else."""
    assert seconds("75:41") == 75 * HOUR + 41 * 60
    assert seconds("0:00:30") == 30.0
    for wrong in ("75", "75:61", "1:2:3:4", "-1:00", "soon"):
        with pytest.raises(ValueError, match=wrong):
            seconds(wrong)
