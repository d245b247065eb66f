"""With the lift-off time fixed, the azimuth takes its place among the unknowns."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import launch_time, outbound
from mplan.physics.arcs.bplane import Asymptote
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies import selenography
from mplan.physics.vectors import unit

DAY = 9600.0 * c.DAY  # TDB past J2000
HOW = {"revolutions": 1, "perilune": c.R_MOON + 111e3}


def level(translunar: Asymptote, t: float) -> np.ndarray:
    """Normal of the retrograde orbit nearest to the Moon's equator."""
    pole = -selenography.lunar_pole(t)
    return unit(pole - (pole @ translunar.s) * translunar.s)


def parking(azimuth: float) -> Parking:
    site = Site(30.0 * c.DEG, 40.0 * c.DEG, azimuth * c.DEG, 710.0, 24.0 * c.DEG)
    return Parking(site, c.R_EARTH + 185e3, DAY)


@pytest.mark.parametrize("azimuth", [80.0, 95.0])
def test_the_clock_gives_the_azimuth_back(azimuth):
    """A launch at the time found for an azimuth takes that azimuth, to 0.001 deg, and no more."""
    out = outbound.target_outbound(parking(azimuth), time_of_flight=74 * c.HOUR, plane=level, **HOW)
    flight = out.perilune.t - out.injection
    there = outbound.LunarPassage(time_of_flight=flight, plane=level, **HOW)
    again = launch_time.target_at_launch_time(parking(72.0), out.lift_off, there)
    assert again.parking.site.azimuth / c.DEG == pytest.approx(azimuth, abs=1e-3)
    assert again.delta_v == pytest.approx(out.delta_v, abs=1e-3)


def test_a_guess_is_off_alike_where_its_azimuth_is_not():
    """Towards the moment at which site and Moon stand nearly opposite, in an hour and a half.

    The plane passes the Moon's place as far aside, and is four times as far off in azimuth.
    """
    orbit = parking(90.0)
    orbit = replace(orbit, site=replace(orbit.site, latitude=25.0 * c.DEG))
    there = outbound.LunarPassage(time_of_flight=74 * c.HOUR, plane=level, **HOW)
    times = [orbit.t + x * 10.0 * c.MINUTE for x in range(144)]
    opposite = min(times, key=lambda t: launch_time.guess_launch(orbit, t, there).across)
    aside, turns = [], []
    for lift_off in (opposite - 2.0 * c.HOUR, opposite - 0.5 * c.HOUR):
        flown = launch_time.target_at_launch_time(orbit, lift_off, there)
        guess = launch_time.guess_launch(orbit, lift_off, there)
        off = launch_time.GuessedLaunch(flown, guess).off
        aside.append(off[0])
        turns.append(flown.azimuth - guess.azimuth)
        again = launch_time.corrected(guess, orbit, off)
        np.testing.assert_allclose(again[:3], launch_time.launch_unknowns(flown)[:3], atol=1e-9)
    assert abs(turns[1]) > 4.0 * abs(turns[0])
    assert aside[1] == pytest.approx(aside[0], rel=0.3)


def test_a_place_of_another_climb_is_reached_as_soon_as_it_is_passed():
    """A place behind one insertion and just before the other's is met a revolution sooner."""
    early, late = parking(90.0), parking(90.0)
    late = replace(late, site=replace(late.site, downrange=early.site.downrange + 0.02))
    place = late.insertion_argument() - 0.01  # of the earlier insertion: just passed
    guess = launch_time.LaunchGuess(early.site.azimuth, place, 3140.0)
    assert launch_time.first_place(guess, early).argument == pytest.approx(place)
    assert launch_time.first_place(guess, late).argument == pytest.approx(place + 2.0 * np.pi)
    after = guess._replace(argument=place + 2.0 * np.pi)
    assert launch_time.first_place(after, early).argument == pytest.approx(place)
