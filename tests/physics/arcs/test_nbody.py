"""Integrated arcs: the two integrators against each other, and how an arc ends."""

from concurrent.futures import ThreadPoolExecutor
from math import degrees

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import nbody, nbody_dop853
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.bodies import ephemeris
from mplan.physics.vectors import floats
from tests.physics.conftest import DATES

both = pytest.mark.skipif(len(nbody.back_ends()) < 2, reason="only one integrator installs here")


@both
def test_threads_take_turns(date, planned):
    """Two threads that fly at the same time end where each ends alone, to the last bit."""
    from mplan.physics.arcs import nbody_heyoka

    _, arc = planned(date)
    pole = floats(nbody.earth_pole(arc.injection))
    starts = [
        nbody.FloatStart(floats(arc.r), floats(arc.v * k), arc.injection, c.DAY, pole)
        for k in (1.0, 1.0001)
    ]
    alone = [nbody_heyoka.fly_abreast([x], "time", 2)[0].r for x in starts]

    def fly(start):
        return [nbody_heyoka.fly_abreast([start], "time", 2)[0].r for _ in range(200)]

    with ThreadPoolExecutor(2) as threads:
        for ends, end in zip(threads.map(fly, starts), alone, strict=True):
            assert all(np.array_equal(each, end) for each in ends)


@both
def test_back_ends_agree_at_perilune(date, planned):
    """Bodies carried along (heyoka) or looked up (dop853): metres apart after three days.

    The two differ by what DE421's Moon feels and the point masses leave out, 40 m of the Moon's
    place, most of which the craft shares.
    """
    _, arc = planned(date)
    ends = [
        nbody.fly_arc(arc.r, arc.v, arc.injection, 5 * c.DAY, "perilune", back_end=name)
        for name in nbody.back_ends()
    ]
    one, other = ends
    assert one.stop == other.stop == "perilune"
    assert np.linalg.norm(one.lunar_r - other.lunar_r) < 40.0
    assert np.linalg.norm(one.lunar_v - other.lunar_v) < 0.05
    assert one.t == pytest.approx(other.t, abs=0.1)
    assert np.linalg.norm(one.moon_r - other.moon_r) < 100.0


@both
@pytest.mark.parametrize("degree", [2, 8])
def test_back_ends_agree_at_the_interface(date, returned, degree):
    """Their own formulas of the Moon's figure, to either degree: metres apart."""
    arc = returned(date)
    one, other = (
        nbody.fly_arc(arc.r, arc.v, arc.t, 6 * c.DAY, "earth", degree=degree, back_end=name)
        for name in nbody.back_ends()
    )
    assert one.stop == other.stop == "entry interface"
    assert np.linalg.norm(one.r - other.r) < 20.0
    assert np.linalg.norm(one.v - other.v) < 0.02
    assert degrees(flight_path_angle(one.r, one.v) - flight_path_angle(other.r, other.v)) == (
        pytest.approx(0.0, abs=1e-4)
    )


@both
@pytest.mark.parametrize("degree", [2, 8])
def test_back_ends_agree_in_a_low_lunar_orbit(degree):
    """Three days, 37 revolutions: 2 m with the ephemeris nodes half an hour apart."""
    luna = ephemeris.moon(5e8)
    r, v = luna.r + np.array([1.85e6, 0.0, 0.0]), luna.v + np.array([0.0, 1500.0, 600.0])
    one, other = (
        nbody.fly_arc(r, v, 5e8, 3 * c.DAY, degree=degree, back_end=name)
        for name in nbody.back_ends()
    )
    assert np.linalg.norm(one.lunar_r - other.lunar_r) < 10.0


def test_the_figure_moves_the_interface(returned, monkeypatch):
    """What the module's text says, on the first date: 210 to 270 km, 0.9 to 1.2 deg."""
    arc = returned(DATES[0])
    flown = nbody.fly_arc(arc.r, arc.v, arc.t, 6 * c.DAY, "earth", back_end="dop853")
    monkeypatch.setattr(c, "J2_MOON", 0.0)
    monkeypatch.setattr(c, "C22_MOON", 0.0)
    # Not through `nbody`, which would remember this arc of another Moon.
    pole = floats(nbody.earth_pole(arc.t))
    start = nbody.FloatStart(floats(arc.r), floats(arc.v), arc.t, 6 * c.DAY, pole)
    point = nbody_dop853.fly_arc(start, "earth", 2)
    assert 200e3 < np.linalg.norm(flown.r - point.r) < 280e3
    turn = degrees(flight_path_angle(flown.r, flown.v) - flight_path_angle(point.r, point.v))
    assert 0.85 < abs(turn) < 1.25


@pytest.mark.parametrize("back_end", nbody.back_ends())
def test_the_moon_carried_along_is_de421s(back_end, planned, date):
    """Within 100 m after three days: what point masses leave out of the Moon's motion."""
    _, arc = planned(date)
    end = nbody.fly_arc(arc.r, arc.v, arc.injection, 3 * c.DAY, back_end=back_end)
    assert np.linalg.norm(end.moon_r - ephemeris.moon(end.t).r) < 100.0


@pytest.mark.parametrize("back_end", nbody.back_ends())
def test_path_passes_where_fly_ends(back_end, planned, a_date):
    _, arc = planned(a_date)
    after = np.linspace(0.0, 2.9 * c.DAY, 7)
    states = nbody.path(arc.r, arc.v, arc.injection, after, back_end=back_end)
    assert states.shape == (7, 12)
    np.testing.assert_allclose(states[0, :6], [*arc.r, *arc.v], rtol=1e-12)
    for seconds, state in zip(after[1:], states[1:], strict=True):
        end = nbody.fly_arc(arc.r, arc.v, arc.injection, seconds, back_end=back_end)
        assert end.stop == "time"
        assert end.t == pytest.approx(arc.injection + seconds)
        np.testing.assert_allclose(state, [*end.r, *end.v, *end.moon_r, *end.moon_v], rtol=1e-6)


@pytest.mark.parametrize("back_end", nbody.back_ends())
def test_there_and_back(back_end, planned, a_date):
    """A day on and a day back: the same place to a metre, in a field without friction."""
    _, arc = planned(a_date)
    far = nbody.fly_arc(arc.r, arc.v, arc.injection, c.DAY, back_end=back_end)
    near = nbody.fly_arc(far.r, far.v, far.t, -c.DAY, back_end=back_end)
    # Moon and Sun are looked up afresh at the far end, which heyoka feels: 30 m of the Moon.
    assert np.linalg.norm(near.r - arc.r) < 10.0
    assert near.t == pytest.approx(arc.injection, abs=1e-6)


@pytest.mark.parametrize("back_end", nbody.back_ends())
def test_low_orbit_against_newton_with_j2(back_end, oblate):
    """Without the Moon's and Sun's tide: 1e-7 of Earth's pull, 10 m in one revolution."""
    t = 5e8
    r, v = np.array([6.6e6, 1e5, -2e5]), np.array([100.0, 6500.0, 4200.0])
    theirs, _ = oblate(r, v, 5000.0, c.MU_EARTH, c.J2_EARTH, c.R_EARTH, nbody.earth_pole(t))
    assert np.linalg.norm(nbody.fly_arc(r, v, t, 5000.0, back_end=back_end).r - theirs) < 20.0


@pytest.mark.parametrize("back_end", nbody.back_ends())
def test_stops_at_earth(back_end):
    """Going down through the interface, at perigee above it, or out of time."""
    t, r = 5e8, np.array([5e7, 0.0, 0.0])
    ends = [
        nbody.fly_arc(r, np.array([inward, pace, 0.0]), t, 3 * c.DAY, "earth", back_end=back_end)
        for inward, pace in ((-1500.0, 500.0), (-1500.0, 2500.0), (1500.0, 4500.0))
    ]
    assert [end.stop for end in ends] == ["entry interface", "perigee", "time"]
    down, perigee, _ = ends
    altitude = np.linalg.norm(down.r) - c.R_EARTH
    assert c.ENTRY_INTERFACE - 22e3 < altitude <= c.ENTRY_INTERFACE + 1.0  # over an ellipsoid
    assert down.r @ down.v < 0.0
    assert perigee.r @ perigee.v == pytest.approx(0.0, abs=1e4)


@pytest.mark.parametrize("back_end", nbody.back_ends())
def test_an_apse_far_out_is_no_perigee(back_end):
    """Near the Moon the distance from Earth has a least value too: the arc must fly on.

    A craft that leaves the far side at 2.5 km/s, Earthwards and ahead, swings outward first.
    """
    t = 5e8
    luna = ephemeris.moon(t)
    up, along = luna.r / np.linalg.norm(luna.r), luna.v / np.linalg.norm(luna.v)
    r = luna.r + 1.9e6 * along
    end = nbody.fly_arc(r, luna.v - 2400.0 * up, t, 10 * c.DAY, "earth", back_end=back_end)
    assert np.linalg.norm(end.r) < nbody.FAR or end.stop == "time"


def test_refuses_an_integrator_it_has_not():
    with pytest.raises(ValueError, match=r"no integrator 'euler'; there are: .*dop853"):
        nbody.fly_arc(np.ones(3), np.ones(3), 0.0, 1.0, back_end="euler")


def test_dop853_refuses_arcs_longer_than_its_ephemeris():
    r, v = np.array([3e8, 0.0, 0.0]), np.array([0.0, 1000.0, 0.0])
    for days in (25, -13):
        with pytest.raises(ArithmeticError, match="dop853 flies 15 days on and 4 back"):
            nbody.fly_arc(r, v, 5e8, days * c.DAY, back_end="dop853")
    for days in (15, -4):
        assert nbody.fly_arc(r, v, 5e8, days * c.DAY, back_end="dop853").stop == "time"


@both
def test_heyoka_refuses_an_arc_through_the_centre():
    with pytest.raises(ArithmeticError, match="the arc could not be integrated"):
        nbody.fly_arc(np.zeros(3), np.zeros(3), 5e8, c.DAY, back_end="heyoka")


def test_the_pole_is_earths():
    """Precession had turned the pole of date by 0.17 deg in 30 years (20 arcsec a year)."""
    turned = degrees(np.arccos(nbody.earth_pole(30 * 365.25 * c.DAY)[2]))
    assert turned == pytest.approx(30 * 20.04 / 3600.0, abs=0.005)


def test_an_arc_is_remembered_by_its_very_inputs():
    """What is handed out again is read-only and as flown anew; a hair beside, it is flown."""
    luna = ephemeris.moon(5e8)
    r, v = luna.r + np.array([2e6, 0.0, 0.0]), luna.v + np.array([0.0, 1550.0, 0.0])
    first = nbody.fly_arc(r, v, 5e8, c.HOUR)
    assert nbody.fly_arc(r.copy(), v.copy(), 5e8, c.HOUR) is first
    assert not first.r.flags.writeable
    beside = nbody.fly_arc(r, v, 5e8, c.HOUR * (1.0 + 1e-9))
    assert 0.0 < np.linalg.norm(beside.r - first.r) < 1.0
    nbody._lately.cache_clear()
    again = nbody.fly_arc(r, v, 5e8, c.HOUR)
    assert again is not first
    np.testing.assert_array_equal(np.concatenate([again.r, again.v]), [*first.r, *first.v])


def test_an_arc_flown_among_others_is_remembered_alone():
    luna = ephemeris.moon(5e8)
    r, v = luna.r + np.array([2e6, 0.0, 0.0]), luna.v + np.array([0.0, 1551.0, 0.0])
    starts = [nbody.ArcStart(r, v + x, 5e8, c.HOUR) for x in np.eye(3)]
    among = nbody.fly_abreast(starts)
    assert nbody.fly_arc(*starts[1][:3], c.HOUR) is among[1]
    assert nbody.fly_abreast([starts[2], starts[0], starts[2]]) == (among[2], among[0], among[2])


def test_no_more_arcs_are_kept_than_there_is_room_for():
    """Those flown first go first."""
    kept = nbody._Lately(2)
    luna = ephemeris.moon(5e8)
    arc = nbody.fly_arc(luna.r + 2e6, luna.v, 5e8, c.MINUTE)
    keys = [(name, "time", 2, "heyoka") for name in ("one", "two", "three")]
    for key in keys:
        kept.keep({key: arc})
    assert kept.ends(keys) == dict.fromkeys(keys[1:], arc)
