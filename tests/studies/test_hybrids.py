"""Hybrid arcs: off a free return later, to where the plan wants to go."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.physics.constants import HOUR
from mplan.studies import hybrids


@pytest.fixture(scope="module")
def family(landing_plan):
    times = [x * HOUR for x in (10, 30, 50)]
    return hybrids.leave_free_return(landing_plan, 1500e3, times)


def test_leaving_later_costs_more(family):
    """The burn grows the nearer the Moon is; the injection is the free return's own."""
    assert [x.after for x in family] == [10 * HOUR, 30 * HOUR, 50 * HOUR]
    assert np.all(np.diff([x.departure for x in family]) > 0.0)
    assert len({x.injection for x in family}) == 1


def test_the_burn_is_a_small_one(family):
    """Leaving a free return took 10 to 20 m/s on two flights that did (61.8 and 23.2 ft/s at
    about 31 h, NASA SP-2000-4029, from memory): of that order, not of a hundred.
    """
    at_thirty_hours = family[1].departure
    assert 3.0 < at_thirty_hours < 30.0


def test_a_free_return_to_the_same_perilune_costs_next_to_nothing(landing_plan):
    """From a free return past the plan's own perilune only plane and arrival differ: metres."""
    altitude = landing_plan.scenario.orbits.lunar_altitude
    found = hybrids.leave_free_return(landing_plan, altitude, [20 * HOUR])
    assert found[0].departure < 1.0


def test_no_free_return_to_leave(landing_plan):
    """Where there is no free return there is no hybrid."""
    with pytest.raises(ArithmeticError, match="no"):
        hybrids.leave_free_return(landing_plan, 200_000e3, [20 * HOUR])
