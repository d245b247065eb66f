"""Coming down where help is: longitude by timing, latitude by tilt, a finding where both miss."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest

import mplan
from mplan.flight import homeward
from mplan.flight.entry import DOWNRANGE
from mplan.physics import constants as c
from mplan.physics.arcs import recovery
from mplan.physics.arcs.homeward import target_return
from mplan.physics.bodies.downrange import ground_distance, place_ahead
from mplan.studies import latitudes

MISSIONS = Path(__file__).parents[1] / "missions"


def area(longitude: float, latitude: float = 7.0, radius: str = "500 km") -> dict[str, str]:
    return {
        "name": "the recovery area",
        "latitude": f"{latitude} deg",
        "longitude": f"{longitude} deg",
        "radius": radius,
    }


@pytest.mark.parametrize("longitude", [-170.0, -60.0, 0.0, 120.0])
def test_the_longitude_is_met(reference_landing, longitude):
    """The return is timed to the meridian to 0.01 deg, at the wanted entry angle.

    The flown entry ends as far down range, and within 0.1 deg: its track bends off the great
    circle that the timing takes by some kilometres.
    """
    plan = mplan.fly(reference_landing.change("recovery", area(longitude)))
    home = plan.flight.end.homeward
    end = home.interface
    timed = place_ahead(end.r, end.v, end.t, DOWNRANGE)[1]
    assert timed / c.DEG == pytest.approx(longitude, abs=0.01)
    assert plan.flight.splash.longitude / c.DEG == pytest.approx(longitude, abs=0.1)
    assert home.flight_path_angle == pytest.approx(plan.scenario.orbits.entry_angle, abs=1e-6)


def test_the_time_gives_way_by_half_a_day_at_most(reference_landing):
    """Of all arrivals over the meridian the one nearest to the planned time is flown."""
    asked = reference_landing.dates.transearth_time
    for longitude in (-90.0, 30.0, 150.0):
        home = mplan.fly(reference_landing.change("recovery", area(longitude))).flight.end.homeward
        assert abs(home.interface.t - home.t - asked) < 12.5 * c.HOUR


def test_a_quicker_return_costs_more(reference_landing):
    """Two meridians apart, the earlier arrival is the dearer burn."""
    early, late = (
        mplan.fly(reference_landing.change("recovery", area(x))).flight.end.homeward
        for x in (-60.0, -170.0)
    )
    assert early.interface.t < late.interface.t
    assert early.delta_v > late.delta_v + 10.0


@pytest.fixture(scope="module")
def tilted(reference_landing):
    """Home to the meridian, with the splash at three latitudes (half of 60 km is 0.27 deg)."""
    return {
        latitude: mplan.fly(reference_landing.change("recovery", area(0.0, latitude, "60 km")))
        for latitude in (5.0, 7.0, -5.0)
    }


@pytest.mark.parametrize("latitude", [5.0, 7.0])
def test_the_latitude_is_met(tilted, latitude):
    """By a tilted plane, with half of the area left over; longitude and angle stay as asked."""
    home, goal = tilted[latitude].flight.end.homeward, homeward.goal
    there = place_ahead(home.interface.r, home.interface.v, home.interface.t, DOWNRANGE)
    wanted = goal(tilted[latitude].scenario)
    assert abs(there[0] - wanted.latitude) == pytest.approx(wanted.slack, abs=2e-4)
    assert there[1] / c.DEG == pytest.approx(0.0, abs=0.01)
    asked = tilted[latitude].scenario.orbits.entry_angle
    assert home.flight_path_angle == pytest.approx(asked, abs=1e-6)


def test_what_the_latitude_costs(tilted):
    """A tilt costs more than the cheapest plane, never less than nothing; the burn says so."""
    for plan in tilted.values():
        home = plan.flight.end.homeward
        burn = next(x for x in plan.burns if x.leg == "trans-Earth injection")
        added = home.delta_v - home.least
        assert 0.5 < added < 200.0
        more = f"{added:.0f} m/s more than in the cheapest plane"
        assert burn.note == f"plane tilted for the splash's latitude: {more}"
    costs = [tilted[x].flight.end.homeward.delta_v for x in (5.0, 7.0)]
    assert costs[0] + 20.0 < costs[1]  # the cheapest plane leads to 5.6 deg


def test_no_plane_is_cheaper_than_the_cheapest(tilted):
    """Planes of a row of tilts, each from its best place, cost as much or more.

    To 0.1 m/s: the best place is the vertex of a parabola through three of the orbit.
    """
    plan = tilted[7.0]
    home, orbit = plan.flight.end.homeward, latitudes.orbit_before_return(plan)
    lasts, angle = home.interface.t - home.t, plan.scenario.orbits.entry_angle
    for tilt in (-0.3, -0.1, 0.0, 0.1, 0.3):
        plane = recovery.plane_at(orbit.t, tilt)
        each = target_return(orbit, time_of_flight=lasts, entry_angle=angle, plane=plane)
        assert each.delta_v > home.least - 0.1


def test_out_of_reach_the_nearest_is_flown(tilted):
    """No plane leads to 5 deg south on that day: it goes to the edge of the reach."""
    home = tilted[-5.0].flight.end.homeward
    there = place_ahead(home.interface.r, home.interface.v, home.interface.t, DOWNRANGE)[0]
    assert there == pytest.approx(home.reach[0], abs=0.2 * c.DEG)
    assert there > 3.0 * c.DEG


def test_a_missed_area_is_found(tilted):
    """With its distance, the nearest latitude that works, and the day on which it would do."""
    finding = next(x for x in tilted[-5.0].findings if x.check == "recovery")
    assert finding.severity == "needs a decision"
    text = r"the splash lies 1,?\d+ km from the middle of the recovery area: return planes of this"
    text += (
        r" date come no nearer than latitude 4\.\d deg; home 3 days earlier it is about -?\d+ deg"
    )
    assert re.fullmatch(text, finding.text)


def test_a_longer_entry_reaches_further(reference_landing):
    """11 deg north is out of reach 2400 km from the interface, and within it 3200 km on.

    The flown entry goes as far as it is told, to the kilometre, and ends in the area.
    """
    wanted = area(-150.0, 11.0, "60 km")
    plans = [
        mplan.fly(reference_landing.change("recovery", {**wanted, "downrange": f"{x} km"}))
        for x in (2400, 3200)
    ]
    missed = [[x for x in plan.findings if x.check == "recovery"] for plan in plans]
    assert missed[0]
    assert not missed[1]
    entry = plans[1].flight.end.entry
    assert entry.aimed == 3.2e6
    assert entry.flown.range == pytest.approx(3.2e6, abs=1e3)
    assert plans[1].flight.splash.latitude / c.DEG == pytest.approx(11.0, abs=0.5)


def test_a_plan_without_an_area_has_no_such_finding(landing_plan):
    assert not [x for x in landing_plan.findings if x.check == "recovery"]


def test_the_day_that_is_named_does_better():
    """An orbit mission flown as many days earlier as the finding says comes down in the area."""
    scenario = mplan.load(MISSIONS / "orbit_and_return.toml")
    scenario = scenario.change("recovery", area(-160.0, -6.0, "400 km"))
    finding = next(x for x in mplan.fly(scenario).findings if x.check == "recovery")
    days = timedelta(int(re.search(r"home (\d+) days earlier", finding.text)[1]))
    earlier = scenario.change("dates.launch_day", scenario.dates.launch_day - days)
    assert not [x for x in mplan.fly(earlier).findings if x.check == "recovery"]


def test_no_day_is_named_that_does_no_better():
    """The Moon's own path sets a limit: 25 deg south is further than it leads that year."""
    scenario = mplan.load(MISSIONS / "orbit_and_return.toml")
    plan = mplan.fly(scenario.change("recovery", area(-160.0, -25.0, "400 km")))
    finding = next(x for x in plan.findings if x.check == "recovery")
    assert "come no nearer than latitude -16.8 deg" in finding.text
    assert "earlier" not in finding.text
    assert "later" not in finding.text


def test_distances_on_the_sphere():
    """A quarter of the equator, and from pole to pole."""
    assert ground_distance((0.0, 0.0), (0.0, 90 * c.DEG)) == pytest.approx(c.R_EARTH * 90 * c.DEG)
    assert ground_distance((90 * c.DEG, 0.0), (-90 * c.DEG, 1.0)) == pytest.approx(
        c.R_EARTH * 180 * c.DEG
    )
