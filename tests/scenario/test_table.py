"""Tables of a scenario: what is worked out of one is not kept in a copy with other values."""

from __future__ import annotations

from mplan.scenario.living.supplies import Supplies


def test_a_copy_is_worked_out_anew():
    carried = Supplies(oxygen="10 kg", potable_water="20 kg")
    assert carried.mass == 30.0
    more = carried.model_copy(update={"oxygen": 15.0})
    assert more.mass == 35.0
    assert carried.mass == 30.0


def test_what_was_worked_out_is_no_value_of_a_table():
    """It is neither written nor compared, and a copy without changes keeps it."""
    carried = Supplies(oxygen="10 kg")
    fresh = Supplies(oxygen="10 kg")
    assert carried.mass == carried.model_copy().mass == 10.0
    assert carried == fresh
    assert hash(carried.filling) == hash(fresh.filling)
    assert carried.model_dump() == fresh.model_dump()
