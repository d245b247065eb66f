"""How long a mission of the odds takes: flown as planned with all that is drawn, and told."""

from __future__ import annotations

from itertools import cycle

from mplan.physics import compiling
from mplan.plan import fly
from mplan.process import collecting
from mplan.studies.odds import design, outcome, setting


def test_a_mission_of_the_odds(benchmark, first_landing):
    """Each another one of the demo's, as a process that flies many of them does it."""
    compiling.load()
    collecting.seldom()
    plan = fly(first_landing)
    start, names = setting.of(plan), tuple(outcome.figures_of(plan.flight))
    drawn = cycle(design.design([each.spread for each in start.drawn], 200, 1).tolist())
    found = benchmark.pedantic(
        lambda: outcome.told(start.fly(next(drawn)), names), rounds=40, warmup_rounds=4
    )
    assert found[0] == outcome.FLOWN
