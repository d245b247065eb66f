"""The four burns as one mission: masses by the rocket equation, beside a flown mission."""

import pytest

import mplan
from mplan.physics import rocket
from mplan.studies import four_burns

LIKE_THE_DEMO = {
    "parking_altitude": "185 km",
    "inclination": "24.1 deg",
    "lunar_altitude": "110 km",
    "time_there": "76 h",
    "time_home": "68 h",
}


@pytest.fixture(scope="module")
def sketch():
    return four_burns.sketch("2031-05-25 19:08", stay="70 h", **LIKE_THE_DEMO)


def test_masses_obey_the_rocket_equation(sketch):
    """Forward, each burn's masses give its delta-v; the last leaves what comes home."""
    lines = four_burns.masses(sketch, home_mass=12e3, isp=320.0)
    assert [line.burn for line in lines] == list(sketch.burns)
    assert lines[-1].after == 12e3
    for line in lines:
        gained = rocket.delta_v(320.0, line.before, line.after)
        assert gained == pytest.approx(line.burn.delta_v)
        assert line.propellant == pytest.approx(
            rocket.propellant(320.0, line.before, line.burn.delta_v)
        )
    assert [x.after for x in lines[:-1]] == [x.before for x in lines[1:]]


def test_turning_points_come_in_order(sketch):
    times = [point.state.t for point in four_burns.turning_points(sketch)]
    assert times == sorted(times)
    assert len(times) == 6


def test_beside_the_mission_flown_whole(sketch, landing_plan):
    """A sketch at a flown mission's own values: impulses within 3 m/s, losses apart.

    The flown plane at the Moon leads to the site instead of along the equator, its injection is
    minutes off, and its return waits for the crew: each is worth 1 or 2 m/s.
    """
    flown = landing_plan.flight.end.outbound
    like = {
        "parking_altitude": f"{landing_plan.scenario.orbits.parking_altitude} m",
        "inclination": f"{flown.parking.site.inclination} rad",
        "lunar_altitude": f"{landing_plan.scenario.orbits.lunar_altitude} m",
        "time_there": f"{landing_plan.scenario.dates.translunar_time} s",
        "time_home": f"{landing_plan.scenario.dates.transearth_time} s",
    }
    start = mplan.physics.bodies.time.utc_from_tdb(flown.injection)
    there = next(x for x in landing_plan.burns if x.leg == "lunar-orbit insertion")
    home = next(x for x in landing_plan.burns if x.leg == "trans-Earth injection")
    stay = f"{home.elapsed - there.elapsed - 3600.0} s"
    sketched = four_burns.sketch(start.isoformat(), stay=stay, **like)
    rows = list(four_burns.beside(sketched, landing_plan))
    assert [row.leg for row in rows] == [
        "translunar injection",
        "into lunar orbit",
        "trans-Earth injection",
    ]
    for row in rows:
        assert row.sketched == pytest.approx(row.flown, abs=3.0)
        assert row.losses > 0.0


def test_a_leg_that_is_not_flown_is_blank(sketch, reference_landing):
    """A mission without a burn of that kind has no number there, rather than zero."""
    flyby = mplan.fly(mplan.load(reference_landing.source.with_name("round_the_moon.toml")))
    rows = list(four_burns.beside(sketch, flyby))
    assert [row.flown is None for row in rows] == [False, True, True]
