"""Lunar orbits of stated inclination and apsides against flown ones, and against the theory."""

from __future__ import annotations

from math import acos, pi, sqrt
from pathlib import Path

import numpy as np
import pytest

import mplan
from mplan.flight.arrival.capture import APOLUNE_CHANGE
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast, lunar_apsides
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.twobody import circular_speed, period, speed
from mplan.physics.vectors import cross, turned, unit

ORBITER = Path(__file__).parents[1] / "missions" / "orbit_and_return.toml"
KM = 1e3


@pytest.fixture(scope="module")
def reports(table):
    return table("polar_captures")


def test_periods_of_the_flown_ellipses(reports):
    """From the heights printed: 1 % of 3.5 h and 2 % of "2 hours", half of their last digit."""
    for number, share in ((7, 0.01), (9, 0.02), (12, 0.005)):
        row = reports[number]
        a = c.R_MOON + (row["perilune_km"] + row["apolune_km"]) / 2.0 * KM
        assert period(a, c.MU_MOON) / c.HOUR == pytest.approx(row["period_h"], rel=share)


def test_the_flown_ellipse_between_is_that_of_burns_of_like_duration(reports):
    """From 11.8 h to a circle in two burns: ours stop over at 3.6 h, those flown at 3.5 h, 5 %.

    Theirs lasted 27 and about 30 min with a thrust that fell as the tanks emptied, which takes the
    ellipse between higher or lower by some tenths of an hour; ours has another mass and a steady
    thrust. The perilune is that of report 7, and the inclination comes out as stated.
    """
    first, low = reports[6], reports[7]["perilune_km"] * KM
    a = (c.MU_MOON * (first["period_h"] * c.HOUR / (2.0 * pi)) ** 2) ** (1.0 / 3.0)
    high = 2.0 * (a - c.R_MOON) - low
    stated = {
        "orbits.lunar_altitude": f"{low / KM} km",
        "orbits.lunar_inclination": f"{first['inclination_deg']} deg",
        "orbits.capture_apolune": f"{high / KM} km",
        "orbits.capture_revolutions": 2,
        "dates.translunar_time": "100 h",
    }
    flight = mplan.fly(mplan.load(ORBITER).change(stated)).flight
    one, between = (x.after.orbit for x in flight.passages if x.burn and shapes(x.burn.leg))
    assert one.period / c.HOUR == pytest.approx(first["period_h"], rel=0.002)
    assert one.inclination / c.DEG == pytest.approx(first["inclination_deg"], abs=0.02)
    assert between.period / c.HOUR == pytest.approx(reports[7]["period_h"], rel=0.05)


def shapes(leg):
    return leg in ("lunar-orbit insertion", APOLUNE_CHANGE)


@pytest.mark.parametrize("sense", [1.0, -1.0])
def test_what_became_of_the_flown_circle(reports, sense):
    """99 by 100 km became 80 by 120 km within six days: the field to degree 8 makes it so, 7 km.

    The plane lies across the Earth-Moon line of report 7; in which sense it was flown is not said,
    and makes 1 km. The rest are the mass concentrations beyond degree 8, some kilometres (see
    `arcs/lunar_orbit`). J2 and C22 alone leave the circle as it is: no check of theirs.
    """
    circle, later = reports[12], reports[13]
    seen, begin, end = (tdb_from_utc(reports[x]["utc"]) for x in (7, 12, 13))
    height = (circle["perilune_km"] + circle["apolune_km"]) / 2.0 * KM
    start = {x: _across(seen, begin, height, sense, x) for x in (2, 8)}
    found = {x: lunar_apsides(coast(orbit, end - begin)) for x, orbit in start.items()}
    low, high = ((x - c.R_MOON) / KM for x in (found[8].perilune, found[8].apolune))
    assert low == pytest.approx(later["perilune_km"], abs=7.0)
    assert high == pytest.approx(later["apolune_km"], abs=7.0)
    assert found[2].apolune - found[2].perilune < 3e3


def _across(seen, begin, height, sense, degree):
    """Return a polar circle at `begin`, across the Earth-Moon line as it was `seen`."""
    pole, line = selenography.lunar_pole(begin), ephemeris.moon(seen).r
    normal = sense * unit(line - (line @ pole) * pole)
    r = (c.R_MOON + height) * unit(cross(normal, pole))
    v = circular_speed(c.R_MOON + height, c.MU_MOON) * unit(cross(normal, r))
    return LunarOrbit(begin, r, v, degree)


TWO_MONTHS = 2.0 * 27.32 * c.DAY
E_FROZEN = 0.6
I_FROZEN = acos(sqrt(0.6 * (1.0 - E_FROZEN**2)))


def long_ellipse(inclination, argument):
    """A long ellipse (a = 6541 km), inclined to the plane of Earth's course about the Moon."""
    a, luna = 6541e3, ephemeris.moon(9.9e8)
    axis = unit(cross(luna.r, luna.v))
    node = unit(luna.r)
    normal = turned(axis, node, inclination)
    up = turned(node, normal, argument)
    low = a * (1.0 - E_FROZEN)
    return LunarOrbit(9.9e8, low * up, speed(low, a, c.MU_MOON) * cross(normal, up))


def drift(inclination, argument):
    """Return by how much eccentricity and argument [deg] have moved in two months."""
    first = long_ellipse(inclination, argument)
    last = coast(first, TWO_MONTHS)
    turns = [_argument(x) for x in (first, last)]
    return last.e - first.e, (turns[1] - turns[0] + 180.0) % 360.0 - 180.0


def _argument(orbit):
    luna = ephemeris.moon(orbit.t)
    node = unit(cross(cross(luna.r, luna.v), orbit.normal))
    towards = cross(orbit.v, cross(orbit.r, orbit.v)) / c.MU_MOON - unit(orbit.r)
    return float(np.arctan2(towards @ cross(orbit.normal, node), towards @ node)) / c.DEG


@pytest.mark.parametrize("argument", [90.0, 270.0])
def test_the_frozen_orbit_stays(argument):
    """e2 = 1 - 5/3 cos2 i with perilune at 90 or 270 deg (Folta and Quinn 2006, AIAA 2006-6749,
    from memory): in two months neither moves by more than J2 and the Moon's own eccentricity make.

    Less inclined, perilune goes ahead; more inclined, it goes back: by five times as much.
    """
    moved, turned_ = drift(I_FROZEN, argument * c.DEG)
    assert abs(moved) < 0.01
    assert abs(turned_) < 3.0
    assert drift(40.0 * c.DEG, argument * c.DEG)[1] > 10.0
    assert drift(65.0 * c.DEG, argument * c.DEG)[1] < -10.0


def test_elsewhere_the_eccentricity_moves_as_the_theory_says():
    """At 45 deg: de/dt = 15/8 n'2 / n e sqrt(1 - e2) sin2 i (Murray and Dermott 1999, ch. 7, to the
    quadrupole; from memory), 25 %: over two months e and the argument change, and the rate too.
    """
    moved, _ = drift(I_FROZEN, 45.0 * c.DEG)
    n, course = sqrt(c.MU_MOON / 6541e3**3), 2.0 * pi / (27.32 * c.DAY)
    rate = 15.0 / 8.0 * course**2 / n * E_FROZEN * sqrt(1.0 - E_FROZEN**2)
    assert moved == pytest.approx(rate * np.sin(I_FROZEN) ** 2 * TWO_MONTHS, rel=0.25)
