"""Entries flown by compiled functions and by the source that they are compiled from."""

from __future__ import annotations

from math import cos, sin
from random import Random

import pytest

from mplan.physics import compiling
from mplan.physics import constants as c
from mplan.physics.entry import reversals
from mplan.physics.entry.bank import aim_entry
from mplan.physics.entry.entry_flight import EntrySteering, EntryVehicle, fly_entry

DROGUES = 7200.0


@pytest.fixture(scope="module", autouse=True)
def compiled():
    """The functions compiled, and as written again for other tests."""
    assert compiling.load()
    before = compiling.refused()
    yield
    assert compiling.refused() == before
    compiling.forget()


def drawn(seed):
    """A vehicle and how it comes in, by a seed: steep and shallow, light and heavy, no lift too."""
    draw = Random(seed)
    angle, heading = draw.uniform(-8.5, -5.2) * c.DEG, draw.uniform(0.0, 6.28)
    up, level = 11.0e3 * sin(angle), 11.0e3 * cos(angle)
    state = (
        c.R_EARTH + c.ENTRY_INTERFACE,
        0.0,
        0.0,
        up,
        level * sin(heading),
        level * cos(heading),
    )
    slow = draw.choice((None, 250.0))
    return state, EntryVehicle(draw.uniform(200.0, 600.0), draw.choice((0.0, 0.28, 0.35)), slow)


@pytest.mark.parametrize("seed", range(8))
def test_entries_of_all_sorts(seed):
    """Every moment the same to the last digit: the same operations, the same library beneath."""

    def flown():
        state, vehicle = drawn(seed)
        aimed = aim_entry(state, vehicle, DROGUES, 2.0e6, 10.0 * c.G0)
        down = fly_entry(state, vehicle, EntrySteering(-0.1, first=-1.0), DROGUES)
        sideways = reversals.steer_sideways(aimed, state, vehicle, DROGUES)
        return [(each.rows, each.end, each.steering) for each in (aimed, sideways, down)]

    quick = flown()
    with compiling.as_written():
        slow = flown()
    assert quick == slow


def test_a_long_entry_finds_room():
    """One with more moments than a table has room for at first, both ways."""
    state, _ = drawn(0)
    slowly = EntryVehicle(5.0, 0.0)
    quick = fly_entry(state, slowly, EntrySteering(0.0), 1.0)
    with compiling.as_written():
        slow = fly_entry(state, slowly, EntrySteering(0.0), 1.0)
    assert len(quick.rows) > 300
    assert quick.rows == slow.rows
