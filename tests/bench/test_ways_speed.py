"""How long ways out take: the coverage of whole missions, and one failure at one time."""

from __future__ import annotations

import pytest

from mplan.contingencies.ways_out.glance import glance
from mplan.flight import walk
from mplan.physics.constants import HOUR
from mplan.studies import ways_out


@pytest.mark.parametrize("workers", [1, 2])
def test_coverage_of_a_landing(benchmark, first_landing, workers):
    """Every failure from the pad to the splash."""
    asked = {"workers": workers}
    flight = walk.fly(first_landing)
    found = benchmark.pedantic(ways_out.of, (flight,), asked, rounds=1)
    assert not found.stopped
    assert found.looked > 200


def test_coverage_of_two_launches(benchmark, two_launches):
    """A day and a half in Earth orbit, and a landing."""
    found = benchmark.pedantic(ways_out.of, (two_launches,), {"workers": 2}, rounds=1)
    assert not found.stopped


def test_fail_this_then(benchmark, first_landing):
    """Every way out at a time that was not asked for before."""
    flight, hour = walk.fly(first_landing), iter(range(20, 70))

    def next_hour():
        return (flight, next(hour) * HOUR, "called off"), {}

    found = benchmark.pedantic(ways_out.at, setup=next_hour, rounds=10)
    assert found.ways


def test_glance_of_a_brief(benchmark, landing_plan):
    """One look at each stretch beyond Earth orbit, remembered arcs and all after the first."""
    assert benchmark.pedantic(glance, (landing_plan.flight,), rounds=3)
