"""Shared by these tests: an independent integration, and arcs planned once for all of them."""

from datetime import datetime
from functools import cache
from math import radians

import numpy as np
import pytest

from mplan.physics import constants
from mplan.physics.arcs import homeward, lunar_orbit, outbound
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies import selenography, time
from mplan.physics.vectors import unit


@pytest.fixture
def oblate():
    """Return a function that flies r, v [SI] for a time about a body of mu, J2, radius and pole."""
    from scipy.integrate import solve_ivp

    def fly(r, v, duration, mu, j2, radius, pole):
        def rates(_, y):
            place, far = y[:3], np.linalg.norm(y[:3])
            height = place @ pole
            pull = -mu * place / far**3
            bulge = (1.0 - 5.0 * height**2 / far**2) * place + 2.0 * height * pole
            return np.concatenate([y[3:], pull - 1.5 * j2 * mu * radius**2 / far**5 * bulge])

        run = solve_ivp(
            rates, (0.0, duration), np.concatenate([r, v]), "DOP853", rtol=1e-10, atol=1e-5
        )
        return run.y[:3, -1], run.y[3:, -1]

    return fly


DATES = [datetime(year, 1 + k % 12, 3 + 2 * k % 25) for k, year in enumerate(range(1965, 2051, 7))]
PERILUNE = constants.R_MOON + 111e3
ENTRY_ANGLE = -0.1134  # rad, 6.5 deg below the horizontal


def equatorial(incoming, t):
    """Return the normal of the retrograde passage nearest to the Moon's equator."""
    backwards = -selenography.lunar_pole(t)
    return unit(backwards - (backwards @ incoming.s) * incoming.s)


def parking_on(date):
    """Return a 185 km parking orbit from an eastern launch site on a date."""
    site = Site(radians(28.6), radians(-80.6), radians(80.0), climb=700.0, downrange=0.4)
    return Parking(site, constants.R_EARTH + 185e3, time.tdb_from_utc(date))


@pytest.fixture(params=DATES, ids=lambda date: f"{date:%Y-%m-%d}")
def date(request):
    """Thirteen dates from 1965 to 2049, each in another month."""
    return request.param


@pytest.fixture(params=DATES[5::6], ids=lambda date: f"{date:%Y-%m-%d}")
def a_date(request):
    """Two of them, for what is dear to fly or depends little on the date."""
    return request.param


@pytest.fixture(scope="session")
def planned():
    """Return a function date -> the parking orbit and a 72 h arc to 111 km over the far side."""

    @cache
    def plan(date):
        parking = parking_on(date)
        return parking, outbound.target_outbound(
            parking,
            revolutions=1,
            time_of_flight=72 * constants.HOUR,
            perilune=PERILUNE,
            plane=equatorial,
        )

    return plan


@pytest.fixture(scope="session")
def returned(planned):
    """Return a function date -> the arc home in 70 h from the circle at that perilune."""

    @cache
    def plan(date):
        there = planned(date)[1].perilune
        circle = lunar_orbit.circular(lunar_orbit.LunarOrbit(there.t, there.lunar_r, there.lunar_v))
        return homeward.target_return(
            circle, time_of_flight=70 * constants.HOUR, entry_angle=ENTRY_ANGLE
        )

    return plan
