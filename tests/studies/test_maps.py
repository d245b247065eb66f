"""Maps of delta-v: each cell an arc, the plan's own cell the plan's own figures."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from mplan.physics.constants import HOUR
from mplan.studies import maps


def test_the_plans_own_cell_is_the_plans(landing_plan):
    """On its day and in its time the way there costs what the plan's burns do, impulsive."""
    flight = landing_plan.scenario.dates.translunar_time
    found = maps.there(landing_plan, 1, [flight])
    legs = ("translunar injection", "lunar-orbit insertion", "lunar-orbit circularisation")
    flown = sum(x.impulse for x in landing_plan.burns if x.leg in legs)
    assert found.starts == (date(2031, 5, 25),)
    # the plan stops over in an ellipse whose apsides J2 turns: a tenth of a metre a second
    assert found.delta_v[0, 0] == pytest.approx(flown, abs=0.2)


def test_the_way_home_from_where_the_plan_leaves(landing_plan):
    """Two hours later, in the plan's own time, home costs much the same; much faster, much more."""
    flight = landing_plan.scenario.dates.transearth_time
    found = maps.home(landing_plan, [0.0, 2 * HOUR], [flight, 50 * HOUR])
    own = landing_plan.flight.end.homeward.delta_v
    assert found.delta_v[0] == pytest.approx([own, own], abs=15.0)
    assert np.all(found.delta_v[1] > found.delta_v[0] + 150.0)
    assert found.cheapest()[0] == 0


def test_quickest_within_a_budget(landing_plan):
    """The shortest flight that can be paid for; none, if none can."""
    found = maps.home(landing_plan, [0.0], [50 * HOUR, 70 * HOUR, 90 * HOUR])
    assert found.quickest(1000.0) == (1, 0)
    assert found.quickest(100.0) is None


def test_a_stopped_map_keeps_what_it_has(landing_plan):
    """Cells not reached are not numbers."""
    seen = []
    found = maps.home(
        landing_plan,
        [0.0, HOUR],
        [60 * HOUR, 70 * HOUR],
        done=lambda done, total: seen.append((done, total)),
        stopped=lambda: len(seen) == 3,
    )
    assert seen[-1] == (3, 4)
    assert np.isnan(found.delta_v).tolist() == [[False, False], [False, True]]
