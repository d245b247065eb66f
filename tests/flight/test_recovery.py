"""Coming down where help is: the longitude by timing, and a finding where the place is missed."""

from __future__ import annotations

import pytest

import mplan
from mplan.checks.recovery import distance
from mplan.physics import constants as c


def area(longitude: float, latitude: float = 7.0, radius: str = "500 km") -> dict[str, str]:
    return {
        "name": "the recovery area",
        "latitude": f"{latitude} deg",
        "longitude": f"{longitude} deg",
        "radius": radius,
    }


@pytest.mark.parametrize("longitude", [-170.0, -60.0, 0.0, 120.0])
def test_the_longitude_is_met(first_landing, longitude):
    """The splash is on the wanted meridian to 0.01 deg, at the wanted entry angle."""
    plan = mplan.fly(first_landing.change("recovery", area(longitude)))
    assert plan.flight.splash.longitude / c.DEG == pytest.approx(longitude, abs=0.01)
    home = plan.flight.end.homeward
    assert home.flight_path_angle == pytest.approx(plan.scenario.orbits.entry_angle, abs=1e-6)


def test_the_time_gives_way_by_half_a_day_at_most(first_landing):
    """Of all arrivals over the meridian the one nearest to the planned time is flown."""
    asked = first_landing.dates.transearth_time
    for longitude in (-90.0, 30.0, 150.0):
        home = mplan.fly(first_landing.change("recovery", area(longitude))).flight.end.homeward
        assert abs(home.interface.t - home.t - asked) < 12.5 * c.HOUR


def test_a_quicker_return_costs_more(first_landing):
    """Two meridians apart, the earlier arrival is the dearer burn."""
    early, late = (
        mplan.fly(first_landing.change("recovery", area(x))).flight.end.homeward
        for x in (-60.0, -170.0)
    )
    assert early.interface.t < late.interface.t
    assert early.delta_v > late.delta_v + 10.0


def test_a_missed_area_is_found(first_landing):
    """The date decides the latitude: an area too far south is told with its distance."""
    plan = mplan.fly(first_landing.change("recovery", area(160.0, latitude=-30.0)))
    finding = next(x for x in plan.findings if x.check == "recovery")
    assert finding.severity == "needs a decision"
    assert finding.text.endswith("km from the middle of the recovery area")
    assert not [x for x in mplan.fly(first_landing).findings if x.check == "recovery"]


def test_distances_on_the_sphere():
    """A quarter of the equator, and from pole to pole."""
    assert distance(0.0, 0.0, 0.0, 90 * c.DEG) == pytest.approx(c.R_EARTH * 90 * c.DEG)
    assert distance(90 * c.DEG, 0.0, -90 * c.DEG, 1.0) == pytest.approx(c.R_EARTH * 180 * c.DEG)
