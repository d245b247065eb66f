"""A process that flies often: what it changes of Python's collections, and what it leaves."""

from __future__ import annotations

import gc
import weakref

import pytest

from mplan import checks
from mplan.flight import walk
from mplan.studies.executors import often
from mplan.vehicle import same


@pytest.fixture(autouse=True)
def as_before():
    """The thresholds of the process that tests run in."""
    found = gc.get_threshold()
    yield
    gc.set_threshold(*found)


@pytest.mark.parametrize(
    ("found", "wanted"),
    [
        ((700, 10, 10), (often.YOUNG, 10, 10)),
        ((2 * often.YOUNG, 10, 10), (2 * often.YOUNG, 10, 10)),
        ((700, 5, 500), (often.YOUNG, 5, 500)),
        ((0, 10, 10), (0, 10, 10)),
    ],
)
def test_everything_is_looked_through_less_often(found, wanted):
    """Whoever has it done still less often, or never, keeps that."""
    gc.set_threshold(*found)
    often.begin()
    assert gc.get_threshold() == wanted


def test_a_flight_goes_without_being_looked_for(first_landing):
    """Its records refer to each other in one direction: no ring that only a collection ends.

    Also once checks have asked it, and what it worked out for them is kept in it.
    """
    enabled = gc.isenabled()
    gc.disable()
    try:
        flight = walk.fly(first_landing)
        assert checks.of(flight)
        assert flight.every_moment
        records = [weakref.ref(x) for x in (flight, *flight.passages, *flight.burns)]
        same.forget()  # which keeps the last few of purpose
        assert all(x() is not None for x in records)
        del flight
        assert [x() for x in records] == [None] * len(records)
    finally:
        if enabled:
            gc.enable()
