"""The least burn off a lunar orbit, told by the velocity far out, is that of its own parts."""

from math import radians

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import homeward, lunar_orbit, nbody
from mplan.physics.arcs.homeward import ROUGH, SCALING, correct_return, guess_returns, leave_orbit
from mplan.physics.arcs.leaving.least_departure import FarVelocities
from mplan.physics.arcs.leaving.lower_place import lower_places
from mplan.physics.arcs.recovery import plane_at
from mplan.physics.targeting import LEAST
from mplan.physics.twobody import conic

ASIDE = np.array([0.5, -0.5, 0.5])  # m/s
ANGLE, HOURS = -0.1134, (60, 84, 110)
ALIKE = 3.0 * LEAST * 150.0  # m/s, of a burn: as far off the least as either search leaves it


@pytest.fixture(params=[1.0, 1.2], ids=["circle", "ellipse"])
def orbit(request, planned, a_date):
    """A circle near 110 km, and the ellipse that a burn of a fifth of its speed makes of it."""
    there = planned(a_date)[1].perilune
    found = lunar_orbit.circular(lunar_orbit.LunarOrbit(there.t, there.lunar_r, there.lunar_v))
    return found._replace(v=found.v * request.param)


def _first(orbit, hours, plane=None):
    wait, burn = guess_returns(orbit, hours * c.HOUR, ANGLE, plane)[0]
    return lunar_orbit.coast(orbit, wait), burn


@pytest.mark.parametrize("hours", HOURS)
def test_it_is_the_least_burn(orbit, hours):
    """Within what either search leaves open, the burn that Newton's method finds in its parts."""
    place, burn = _first(orbit, hours)
    found = leave_orbit(place, burn, hours * c.HOUR, ANGLE, SCALING)
    other = correct_return(place, found.burn + ASIDE, hours * c.HOUR, ANGLE, SCALING)
    np.testing.assert_allclose(found.burn, other.burn, atol=ALIKE)
    assert found.delta_v == pytest.approx(other.delta_v, abs=1e-3)


@pytest.mark.parametrize("hours", HOURS)
def test_it_meets_its_entry(orbit, hours):
    """By the integrator that did not look for it: 0.01 deg and a second."""
    place, burn = _first(orbit, hours)
    found = leave_orbit(place, burn, hours * c.HOUR, ANGLE, SCALING)
    end = nbody.fly_arc(found.r, found.v, found.t, 9 * c.DAY, "earth", back_end="dop853")
    assert end.stop == "entry interface"
    assert homeward.flight_path_angle(end.r, end.v) == pytest.approx(ANGLE, abs=radians(0.01))
    assert end.t - found.t == pytest.approx(hours * c.HOUR, abs=1.0)


def test_in_a_plane(orbit):
    """Three targets leave one burn: both ways of looking for it find that one."""
    plane = plane_at(orbit.t, radians(20.0))
    place, burn = _first(orbit, 84, plane)
    found = leave_orbit(place, burn, 84 * c.HOUR, ANGLE, SCALING, plane)
    other = correct_return(place, found.burn + ASIDE, 84 * c.HOUR, ANGLE, SCALING, plane)
    np.testing.assert_allclose(found.burn, other.burn, atol=0.05)  # a tenth of a mrad of the plane
    assert plane.off(found.interface.r, found.interface.v) == pytest.approx(0.0, abs=1e-4)


def test_steps(orbit, monkeypatch):
    """A first guess is made good in six rounds of arcs, far from it too."""
    flown = []
    fly = nbody.fly_abreast
    monkeypatch.setattr(nbody, "fly_abreast", lambda *a, **k: flown.append(a) or fly(*a, **k))
    for hours in HOURS:
        place, burn = _first(orbit, hours)
        flown.clear()
        leave_orbit(place, burn, hours * c.HOUR, ANGLE, ROUGH)
        assert len(flown) <= 7  # the last is the arc that is handed out


def test_there_and_back(orbit):
    """A burn's velocity far out leads back to the burn."""
    place, burn = _first(orbit, 84)
    velocities = FarVelocities(place)
    told = velocities.of(burn)
    assert np.all(told[:2] > 0.0)
    np.testing.assert_allclose(velocities.burns(told[None])[0], burn, atol=1e-6)


def test_a_start_that_stays_at_the_moon(orbit):
    """No hyperbola: the burn's own parts are sought."""
    place, burn = _first(orbit, 84)
    with pytest.raises(ValueError, match="closed"):
        FarVelocities(place).of(0.0 * burn)
    found = leave_orbit(place, 0.8 * burn, 84 * c.HOUR, ANGLE, SCALING)
    assert found.delta_v == pytest.approx(
        leave_orbit(place, burn, 84 * c.HOUR, ANGLE, SCALING).delta_v, abs=0.01
    )


def test_the_best_place_of_a_high_ellipse(planned, a_date):
    """The way downhill ends where a second search, begun on either side, ends too."""
    there = planned(a_date)[1].perilune
    low = lunar_orbit.circular(lunar_orbit.LunarOrbit(there.t, there.lunar_r, there.lunar_v))
    high = low._replace(v=low.v * 1.32)
    best = homeward.target_return(high, time_of_flight=110 * c.HOUR, entry_angle=ANGLE)
    for later in (-0.02, 0.02):
        place = lunar_orbit.coast(best.leaving, later * high.period)
        beside = leave_orbit(place, _beside(best, place), 110 * c.HOUR, ANGLE, SCALING)
        assert beside.delta_v > best.delta_v - 0.5


def _beside(best, place):
    """Return the burn that leaves another place as the best one leaves its own."""
    told = FarVelocities(best.leaving).of(best.burn)
    return FarVelocities(place).burns(told[None])[0]


def test_lower_places(orbit):
    """Further on, until burns rise again; a place lies no revolution away."""
    wait, burn = guess_returns(orbit, 84 * c.HOUR, ANGLE, None)[0]
    for off, ahead in ((-0.08, 1.0), (0.08, -1.0)):
        here = lunar_orbit.coast(orbit, wait + off * orbit.period)
        told = FarVelocities(lunar_orbit.coast(orbit, wait)).of(burn)
        dear = FarVelocities(here).burns(told[None])[0]
        (found,) = lower_places(here, dear, ahead, None)
        assert 0.0 < ahead * (found.t - here.t) < orbit.period
        assert np.linalg.norm(found.burn) < np.linalg.norm(dear)
        assert found.places > 2


def test_lower_places_keep_off_the_ground(planned, a_date):
    """From high on an ellipse a burn down past the Moon would be less: through it, it is none."""
    there = planned(a_date)[1].perilune
    low = lunar_orbit.circular(lunar_orbit.LunarOrbit(there.t, there.lunar_r, there.lunar_v))
    high = low._replace(v=low.v * 1.32)
    wait, burn = guess_returns(high, 110 * c.HOUR, ANGLE)[0]
    told = FarVelocities(lunar_orbit.coast(high, wait)).of(burn)
    for share in np.linspace(0.05, 0.95, 10):
        here = lunar_orbit.coast(high, wait + share * high.period)
        dear = FarVelocities(here).burns(told[None])[0]
        for ahead in (1.0, -1.0):
            for found in lower_places(here, dear, ahead, None):
                at = lunar_orbit.coast(here, found.t - here.t)
                after = at._replace(v=at.v + found.burn)
                falls = float(after.r @ after.v) < 0.0
                assert not falls or conic(after.r, after.v, c.MU_MOON).periapsis > c.R_MOON - 20e3
