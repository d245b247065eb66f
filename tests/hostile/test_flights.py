"""Missions with a value far off, at its bound, or their events in another order, flown.

A short run; `python -m tests.hostile --flights 5000` is the long one.
"""

from dataclasses import replace

import pytest

from tests.hostile.flights import fly, sound


@pytest.mark.parametrize("seed", range(1, 13))
def test_a_sound_plan_or_a_message(seed):
    fly(seed)


def test_what_cannot_be_is_noticed(landing_plan):
    """The rules can fail: a clock that runs back, a burn that lasts less than no time."""
    flight = landing_plan.flight
    sound(flight)
    turned = replace(flight, passages=flight.passages[::-1])
    with pytest.raises(AssertionError, match="time runs back"):
        sound(turned)
    at = next(i for i, each in enumerate(flight.passages) if each.burn)
    passage = flight.passages[at]
    less = replace(passage, burn=replace(passage.burn, duration=-1.0))
    with pytest.raises(AssertionError, match=passage.burn.name):
        sound(replace(flight, passages=(*flight.passages[:at], less, *flight.passages[at + 1 :])))
