"""The four calculations, one call each: their chain, their messages, their agreement with arcs."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from math import degrees, radians

import numpy as np
import pytest

import mplan
from mplan.physics import constants as c
from mplan.physics.arcs import homeward, injection, nbody
from mplan.physics.bodies import earth, selenography
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import cross, unit
from mplan.transfers import ArgumentError

DEPARTURE = "2031-05-25 20:00"


@pytest.fixture(scope="module")
def there():
    return mplan.translunar(DEPARTURE)


@pytest.fixture(scope="module")
def captured(there):
    return mplan.lunar_orbit_insertion(there)


@pytest.fixture(scope="module")
def home(captured):
    return mplan.return_burn(captured)


def test_an_insertion_that_turns_the_course(there):
    """Northwards or southwards, an angle costs the same and leads to planes that angle apart."""
    straight = mplan.lunar_orbit_insertion(there, apolune_altitude="300 km")
    north, south = (
        mplan.lunar_orbit_insertion(there, apolune_altitude="300 km", turn=f"{x} deg")
        for x in (6, -6)
    )
    assert north.burns[0].delta_v == pytest.approx(south.burns[0].delta_v)
    before, after = there.perilune.speed, there.perilune.speed - straight.burns[0].delta_v
    triangle = np.sqrt(before**2 + after**2 - 2.0 * before * after * np.cos(radians(6.0)))
    assert north.burns[0].delta_v == pytest.approx(triangle)
    normals = [unit(cross(x.orbit.r, x.orbit.v)) for x in (north, straight, south)]
    apart = [degrees(np.arccos(normals[1] @ x)) for x in (normals[0], normals[2])]
    assert apart == pytest.approx([6.0, 6.0], abs=0.05)
    course = [float(x.orbit.v @ selenography.lunar_pole(x.orbit.t)) for x in (north, south)]
    assert course[0] > course[1]
    with pytest.raises(ArgumentError, match="turn: found"):
        mplan.lunar_orbit_insertion(there, turn="8")


def test_hohmann_works_both_ways():
    """Down costs what up costs, with the burns' signs turned round."""
    up = mplan.hohmann("200 km", "800 km", body="Moon")
    down = mplan.hohmann("800 km", "200 km", body="Moon")
    assert (down.first, down.second) == pytest.approx((-up.second, -up.first))
    assert down.delta_v == pytest.approx(up.delta_v)


def test_hohmann_altitude_and_distance_are_told_apart():
    """The same number as an altitude and as a distance is another circle."""
    high = mplan.hohmann("185 km", "50000 km").radii[1]
    assert high - mplan.hohmann("185 km", to_distance="50000 km").radii[1] == c.R_EARTH


def test_the_departure_is_as_asked(there):
    """Circular parking orbit of the stated altitude and inclination, at the stated minute."""
    before = there.before
    pole = earth.true_equator_of_day(before.t)[2]
    assert before.utc == datetime(2031, 5, 25, 20, tzinfo=timezone.utc)
    assert before.distance == pytest.approx(c.R_EARTH + 185e3, abs=1e-3)
    assert before.speed**2 * before.distance == pytest.approx(c.MU_EARTH)
    assert degrees(np.arccos(unit(cross(before.r, before.v)) @ pole)) == pytest.approx(30.0)
    np.testing.assert_allclose(there.departure.r, before.r)
    burn = there.departure.v - before.v
    assert np.linalg.norm(burn) == pytest.approx(there.delta_v)
    assert unit(burn) @ unit(before.v) == pytest.approx(1.0)


@pytest.mark.parametrize("side", ["ascending", "descending"])
@pytest.mark.parametrize(("approach", "sense"), [("retrograde", -1), ("prograde", 1)])
def test_the_perilune_is_as_asked(side, approach, sense):
    """Altitude to 1 m, time to 1 s, and the sense of the passage, on either leg."""
    flown = mplan.translunar(DEPARTURE, side=side, approach=approach, perilune_altitude="300 km")
    perilune = flown.perilune
    normal = cross(perilune.r, perilune.v)
    assert perilune.distance == pytest.approx(c.R_MOON + 300e3, abs=1.5)
    assert perilune.t - flown.departure.t == pytest.approx(76 * c.HOUR, abs=1.0)
    assert np.sign(normal @ selenography.lunar_pole(perilune.t)) == sense
    pole = earth.true_equator_of_day(flown.before.t)[2]
    moving_north = flown.before.v @ pole  # half a turn before the Moon is met
    assert (moving_north < 0.0) == (side == "ascending")


def test_the_arc_is_that_of_the_other_integrator(there):
    """SciPy's integrator carries the stated departure to the stated perilune, to 1 km and 1 m/s."""
    leaving = there.departure
    end = nbody.fly_arc(leaving.r, leaving.v, leaving.t, 4e5, "perilune", back_end="dop853")
    np.testing.assert_allclose(end.lunar_r, there.perilune.r, atol=1e3)
    np.testing.assert_allclose(end.lunar_v, there.perilune.v, atol=1.0)


def test_the_capture_ends_in_a_circle(there, captured):
    """Level and circular at the perilune's altitude; the burn is what the speed lost."""
    orbit = captured.orbit
    assert orbit.distance == pytest.approx(there.perilune.distance)
    assert orbit.r @ orbit.v == pytest.approx(0.0, abs=1.0)
    assert orbit.speed == pytest.approx(np.sqrt(c.MU_MOON / orbit.distance))
    assert captured.delta_v == pytest.approx(there.perilune.speed - orbit.speed)
    assert degrees(captured.inclination) > 170.0


def test_a_capture_in_two_steps_costs_the_same(there, captured):
    """Along one direction speeds add up: an ellipse between only takes a revolution's time."""
    steps = mplan.lunar_orbit_insertion(there, apolune_altitude="300 km")
    assert len(steps.burns) == 2
    assert steps.delta_v == pytest.approx(captured.delta_v, abs=1e-6)
    a = c.R_MOON + 205e3  # m, half-way between 110 and 300 km
    assert steps.integrated.duration == pytest.approx(
        2 * np.pi * np.sqrt(a**3 / c.MU_MOON), rel=1e-5
    )


def test_the_return_meets_the_air_as_asked(captured, home):
    """Entry angle, time of flight, height of the interface; the burn within a revolution."""
    wait = home.departure.t - captured.orbit.t - 48 * c.HOUR
    assert -captured.period / 50 < wait < captured.period * 1.02
    assert degrees(home.entry_angle) == pytest.approx(-6.4, abs=1e-3)
    assert home.integrated.duration == pytest.approx(68 * c.HOUR, abs=1.0)
    height = earth.geodetic(home.entry.r, home.entry.t)[2]
    assert height == pytest.approx(c.ENTRY_INTERFACE, abs=1.0)
    # The Moon's figure lets the circle breathe by a kilometre.
    assert home.before.distance == pytest.approx(captured.orbit.distance, abs=1.5e3)


def test_the_conics_are_near_but_not_the_answer(there, captured, home):
    """What joined conics leave out: a few m/s at Earth, 1 to 5 % at the Moon."""
    assert 0.1 < abs(there.conic.delta_v - there.delta_v) < 10.0
    for leg in (captured, home):
        assert 0.01 < leg.conic.delta_v / leg.delta_v - 1.0 < 0.05


@pytest.mark.parametrize(
    "moment",
    [
        "2031-05-25T20:00:00Z",
        datetime(2031, 5, 25, 20),
        datetime(2031, 5, 25, 22, tzinfo=timezone(timedelta(hours=2))),
    ],
)
def test_dates_are_utc(moment, there):
    """A text, a naive datetime and one of another zone name the same moment."""
    assert mplan.translunar(moment).departure.t == there.departure.t


def test_a_date_begins_at_midnight():
    assert mplan.translunar(date(2031, 5, 25)).departure.utc.hour == 0


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"departure": "soon"}, r'departure: found "soon", not a date; accepted: a UTC date'),
        ({"departure": 2031}, r"departure: found 2031, not a date; accepted: a UTC date"),
        ({"departure": "2090-01-01"}, r"2090-01-01\", outside the ephemeris; accepted: .*DE421"),
        ({"departure": "1850-01-01"}, r"outside the ephemeris; accepted: .* from 1899-12-05 to"),
        ({"time_of_flight": 76}, r"time_of_flight: found 76, a bare number; accepted: a time"),
        ({"time_of_flight": "30 h"}, r'found "30 h", too small; accepted: .* from 40 h to 130 h'),
        ({"time_of_flight": "76 km"}, r'found "76 km", of another dimension'),
        ({"parking_altitude": "20 km"}, r"parking_altitude: found \"20 km\", too small"),
        ({"perilune_altitude": "nan km"}, r"perilune_altitude: found .* not a finite number"),
        ({"inclination": "5 deg"}, r'inclination: found "5 deg"; accepted: \d+\.\d+ to 1\d\d\.\d+'),
        ({"inclination": "200 deg"}, r'inclination: found "200 deg", too large'),
        ({"approach": "polar"}, r'approach: found "polar"; accepted: "retrograde", "prograde"'),
        ({"side": None}, r'side: found null; accepted: "ascending", "descending"'),
    ],
)
def test_bad_input_of_translunar(change, text):
    """One message: argument, found, accepted."""
    with pytest.raises(ArgumentError, match=text):
        mplan.translunar(**{"departure": DEPARTURE, **change})


@pytest.mark.parametrize(
    ("arguments", "text"),
    [
        (("185 km",), r"to_altitude, to_distance: found neither; accepted: one of the two"),
        ((185e3, "400 km"), r"altitude: found 185000.0, a bare number; accepted: a length"),
        (("185 km", "-1 km"), r'to_altitude: found "-1 km", too small'),
    ],
)
def test_bad_input_of_hohmann(arguments, text):
    with pytest.raises(ArgumentError, match=text):
        mplan.hohmann(*arguments)


def test_bad_words_of_hohmann():
    with pytest.raises(ArgumentError, match='body: found "Mars"; accepted: "Earth", "Moon"'):
        mplan.hohmann("185 km", "400 km", body="Mars")
    with pytest.raises(ArgumentError, match="found both; accepted: one of the two"):
        mplan.hohmann("185 km", "400 km", to_distance="9000 km")
    with pytest.raises(ArgumentError, match=r"to_distance: .*accepted: .*6378.14 km"):
        mplan.hohmann("185 km", to_distance="400 km")


def test_bad_input_of_the_chain(there, captured):
    with pytest.raises(ArgumentError, match=r"arrival: found str; accepted: what translunar\(\)"):
        mplan.lunar_orbit_insertion("110 km")
    with pytest.raises(
        ArgumentError, match=r"captured: found Translunar; accepted: what lunar_orb"
    ):
        mplan.return_burn(there)
    with pytest.raises(ArgumentError, match=r'apolune_altitude: found "50 km"; accepted: .*110\.0'):
        mplan.lunar_orbit_insertion(there, apolune_altitude="50 km")
    with pytest.raises(ArgumentError, match=r'entry_angle: found "-40 deg", too small'):
        mplan.return_burn(captured, entry_angle="-40 deg")
    with pytest.raises(ArgumentError, match=r'stay: found "30 d", too large'):
        mplan.return_burn(captured, stay="30 d")


def test_no_arc_is_told(monkeypatch, captured):
    """Where Newton's method finds nothing, the message says for which time and what mostly does."""

    def fails(*arguments, **options):
        raise NoArc("off by 3 km")

    monkeypatch.setattr(injection, "target_injection", fails)
    monkeypatch.setattr(homeward, "target_return", fails)
    with pytest.raises(ArgumentError, match=r'"76 h", for which no arc to the Moon .*off by 3 km'):
        mplan.translunar(DEPARTURE)
    with pytest.raises(ArgumentError, match=r'"68 h", for which no arc home .*; accepted: mostly'):
        mplan.return_burn(captured)


def test_results_are_read_only(there, captured, home):
    """No later reader finds a state changed by an earlier one."""
    states = (
        there.before,
        there.departure,
        there.perilune,
        captured.orbit,
        home.before,
        home.entry,
    )
    for state in states:
        with pytest.raises(ValueError, match="read-only"):
            state.r[0] = 0.0
    with pytest.raises(AttributeError):
        there.integrated = None


def test_results_print_units_and_frames(there, captured, home):
    """One fact a line, each with its unit; states with their frame and their date."""
    for result in (there, captured, home, mplan.hohmann("185 km", "400 km")):
        lines = repr(result).splitlines()
        assert lines[0] == type(result).__name__
        assert all(line.startswith("  ") for line in lines[1:])
        assert lines[-1].strip() == "A planning study, not flight approval."
    assert "2031-05-25 20:00:00 UTC, GCRS, geocentric: r [" in repr(there)
    assert "110.000 km above the 1737.4 km sphere" in repr(captured)
    assert f"{degrees(home.entry_angle):.3f} deg" in repr(home)


def test_the_moon_stands_where_the_inclination_must_reach():
    """The limit named in the message is the Moon's declination: just above it an arc is found."""
    with pytest.raises(ArgumentError) as caught:
        mplan.translunar(DEPARTURE, inclination="5 deg")
    limit = float(str(caught.value).split("accepted: ")[1].split(" to ")[0])
    assert 5.0 < limit < 29.0
    flown = mplan.translunar(DEPARTURE, inclination=f"{limit + 0.05:.2f} deg")
    pole = earth.true_equator_of_day(flown.before.t)[2]
    inclination = np.arccos(unit(cross(flown.before.r, flown.before.v)) @ pole)
    assert inclination == pytest.approx(radians(limit + 0.05), abs=1e-4)
