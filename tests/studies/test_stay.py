"""The stay: Sun, drift, and the passes at which the ascent can be afforded."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.physics import constants as c
from mplan.studies import stay


@pytest.fixture(scope="module")
def passes(landing_plan):
    return stay.passes(landing_plan)


def test_one_of_the_passes_is_the_planned_lift_off(landing_plan, passes):
    """It is found again at its time, with the ascent of the plan."""
    down, up = stay.landed(landing_plan)
    burn = next(x for x in landing_plan.burns if x.leg == "lunar ascent")
    planned = min(passes, key=lambda x: abs(x.after - (up - down)))
    assert planned.after == pytest.approx(up - down, abs=2.0)
    assert planned.required == pytest.approx(burn.required, abs=0.1)
    assert planned.margin == pytest.approx(burn.margin, abs=0.1)


def test_passes_come_once_a_revolution(landing_plan, passes):
    """Between two of them lies a revolution, and a little for the ground's own turn."""
    apart = np.diff([x.after for x in passes])
    period = landing_plan.flight.end.homeward.leaving.period
    assert apart == pytest.approx(period, rel=0.01)


def test_the_site_drifts_out_of_the_plane_and_costs(passes):
    """The further out, the dearer the ascent, and all that is dearer is for the plane."""
    drift = [abs(x.off) for x in passes]
    assert drift == sorted(drift)
    assert [x.required for x in passes] == sorted(x.required for x in passes)
    more = passes[-1].required - passes[0].required
    assert more == pytest.approx(passes[-1].plane - passes[0].plane, rel=0.25)


def test_the_window_holds_what_can_be_afforded(landing_plan, passes):
    """Inside it margins are above zero, the next pass beyond is not."""
    window = stay.window(landing_plan, passes)
    inside = [x for x in passes if window.first.after <= x.after <= window.last.after]
    assert min(x.margin for x in inside) >= 0.0
    beyond = [x for x in passes if x.after > window.last.after]
    assert beyond[0].margin < 0.0


def test_no_window_where_the_plan_itself_does_not_close(reference_landing):
    """A lift-off that cannot be afforded has none around it."""
    late = mplan.fly(reference_landing.change("mission.surface_stay", "70 h"))
    found = stay.passes(late, 0.0)
    assert found[-1].margin < 0.0
    assert stay.window(late, found) is None


def test_the_sun_climbs_half_a_degree_an_hour(landing_plan):
    """A lunar day is 29.5 days: 0.508 deg an hour on the equator, before noon."""
    sky = stay.sky(landing_plan)
    rate = np.diff(sky.sun) / np.diff(sky.after)
    assert rate * c.HOUR / c.DEG == pytest.approx(0.508, abs=0.02)
    assert sky.after[0] == 0.0


def test_the_ship_meanwhile(landing_plan, passes):
    """Revolutions are time over period; it passes over once in each."""
    down, up = stay.landed(landing_plan)
    ship = stay.ship(landing_plan)
    assert ship.revolutions == pytest.approx((up - down) / ship.view.period)
    assert abs(ship.over - ship.revolutions) < 1.5
    assert 0.0 < ship.view.out_of_contact < ship.view.period / 2.0


def test_a_mission_that_does_not_land(orbital_plan):
    """Has no stay."""
    assert stay.landed(orbital_plan) is None
    assert stay.passes(orbital_plan) == ()
