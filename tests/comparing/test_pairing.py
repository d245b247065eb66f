"""Which thing of one plan is which of another."""

from __future__ import annotations

from mplan.comparing.pairing import paired


def test_alike_by_the_first_question_then_by_the_next():
    """What the first question leaves over is asked the second; letters here, then their case."""
    pairs = paired(["a", "B", "c"], ["b", "a", "D"], str, str.lower)
    assert pairs == [("a", "a"), ("B", "b"), ("c", None), (None, "D")]


def test_several_alike_keep_their_order():
    """The second of two docks is the second of the other plan too, as far as there is one."""
    first, second = [("dock", 1), ("dock", 2)], [("dock", 3)]
    assert paired(first, second, lambda x: x[0]) == [
        (("dock", 1), ("dock", 3)),
        (("dock", 2), None),
    ]


def test_what_only_the_second_has_stands_where_it_happens():
    """It comes before the next event that both have, or at the end."""
    pairs = paired(["go", "end"], ["go", "wait", "end", "after"], str)
    assert pairs == [("go", "go"), (None, "wait"), ("end", "end"), (None, "after")]
