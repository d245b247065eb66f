"""A return from the planned place: as good as the best one, where the orbit is left otherwise."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.flight.erring.planned_return import target_return_as
from mplan.physics.arcs import homeward, lunar_orbit
from mplan.physics.targeting import NoArc

OTHERWISE = [(0.0, 0.0), (1800.0, 0.0), (-3000.0, 2e3), (9e3, 0.0)]  # s later, m higher


@pytest.fixture(scope="module")
def aim(landing_plan):
    scenario = landing_plan.scenario
    return {
        "time_of_flight": scenario.dates.transearth_time,
        "entry_angle": scenario.orbits.entry_angle,
    }


@pytest.fixture(scope="module")
def circle(landing_plan):
    """The orbit that the ship leaves, as a circle."""
    passages = landing_plan.flight.passages
    home = next(x for x in passages if x.burn and x.burn.leg == "trans-Earth injection")
    return lunar_orbit.circular(home.before.orbit)


@pytest.fixture(scope="module")
def plan(circle, aim):
    return homeward.target_return(circle, **aim)


@pytest.mark.parametrize(("later", "higher"), OTHERWISE)
def test_as_good_as_the_best(circle, plan, aim, later, higher):
    """Half an hour of stay, two kilometres of height, a revolution: the least burn to 0.02 m/s.

    The best place is the vertex of a parabola through places five degrees apart, and no nearer
    than that to the true one.
    """
    orbit = lunar_orbit.coast(circle, later)
    orbit = lunar_orbit.circular(orbit._replace(r=orbit.r * (1.0 + higher / orbit.a)))
    best, found = homeward.target_return(orbit, **aim), target_return_as(plan, orbit, **aim)
    revolutions = round((found.t - best.t) / orbit.period)
    assert found.t - best.t - revolutions * orbit.period == pytest.approx(0.0, abs=30.0)
    assert abs(revolutions) <= 1, "the place may lie at the beginning of a revolution or at its end"
    if not revolutions:
        assert found.delta_v == pytest.approx(best.delta_v, abs=0.02)
    assert found.flight_path_angle == pytest.approx(aim["entry_angle"], abs=1e-6)
    assert found.interface.t - found.t == pytest.approx(aim["time_of_flight"], abs=0.1)


def test_the_plan_itself(circle, plan, aim):
    """Where nothing is otherwise, nothing comes out otherwise.

    The place is met to a tenth of a second: the pace round the Moon is taken for that of a circle.
    """
    found = target_return_as(plan, circle, **aim)
    np.testing.assert_allclose(found.leaving.r, plan.leaving.r, atol=160.0)
    np.testing.assert_allclose(found.burn, plan.burn, atol=0.05)


def test_an_ellipse_is_refused(circle, plan, aim):
    """There the cheapest place is sought anew."""
    ellipse = circle._replace(v=1.1 * circle.v)
    with pytest.raises(NoArc, match="places of an ellipse are not alike"):
        target_return_as(plan, ellipse, **aim)
