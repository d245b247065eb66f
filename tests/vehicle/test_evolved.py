"""A state with some values changed quickly is the one that `dataclasses.replace` makes."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import pairwise

import pytest

from mplan.flight.state import State
from mplan.vehicle.evolved import evolved
from mplan.vehicle.living.account import LivingAccount
from mplan.vehicle.same import Same, once

EVOLVED = (State, LivingAccount)


def test_as_the_slower_way(landing_plan):
    """Every value of every state of a flight, changed to that of the next, both ways."""
    states = [x.after for x in landing_plan.flight.passages]
    for one, other in pairwise(states):
        for name in (x.name for x in fields(State)):
            change = {name: getattr(other, name)}
            assert evolved(one, **change) == replace(one, **change)


def test_the_record_stays_as_it_was(landing_plan):
    """What is changed is another record."""
    state = landing_plan.flight.passages[5].after
    then = state.elapsed
    assert evolved(state, elapsed=then + 1.0).elapsed == then + 1.0
    assert state.elapsed == then


def test_refuses_what_the_record_has_not(landing_plan):
    """A misspelt value is refused by name, as there."""
    with pytest.raises(TypeError, match="State has no elasped"):
        evolved(landing_plan.flight.start, elasped=1.0)


def test_fields_are_all_that_such_records_have(landing_plan):
    """Nothing worked out is kept in them, which would go on into a record that differs."""
    end = landing_plan.flight.end
    records = (end, *end.ledger.accounts.values())
    assert {type(x) for x in records} == set(EVOLVED)
    for each in records:
        assert vars(each).keys() == {x.name for x in fields(each)}


def test_same_is_of_one_object():
    """Equal for the very object, not for one with equal values."""
    one, other = [1.0], [1.0]
    assert Same(one) == Same(one)
    assert hash(Same(one)) == hash(Same(one))
    assert Same(one) != Same(other)
    assert Same(one) != one


def test_a_question_is_worked_out_once_of_each_object():
    """The same answer is handed out again, of another object with equal values another one."""
    asked: list[object] = []

    @once
    def count(of: list[float]) -> list[int]:
        asked.append(of)
        return [len(of)]

    one, other = [1.0, 2.0], [1.0, 2.0]
    assert count(one) is count(one)
    assert count(other) == count(one)
    assert count(other) is not count(one)
    assert [x is one for x in asked] == [True, False]
