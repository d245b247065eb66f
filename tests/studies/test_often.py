"""A process that flies often: what it leaves."""

from __future__ import annotations

import gc
import weakref

from mplan import checks
from mplan.flight import walk
from mplan.vehicle import same


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
