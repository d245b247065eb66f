"""The questions of the lessons: published figures are right, and each slip is told by its name."""

from __future__ import annotations

from math import exp, radians, sin, sqrt

import pytest

from mplan.lessons import closing, leaving, stacking
from mplan.lessons.leaving.reach import azimuth_towards, reach, time_to
from mplan.lessons.stacking import formulas
from mplan.physics import constants as c

R = c.R_EARTH + 185e3  # m


def test_hohmann_time_as_published():
    """Vallado 2013, example 6-1: 191.34411 km to 35,781.34857 km up takes 5.256713 h."""
    far = f"{35781.34857 + 6378.137} km"  # from the centre; his radius of Earth is ours
    said = leaving.check_time("5.256713 h", altitude="191.34411 km", distance=far)
    assert said.right


def test_a_turn_of_sixty_degrees_costs_the_speed_itself():
    """2 v sin(30 deg) is v: a case without arithmetic."""
    speed = sqrt(c.MU_EARTH / R)
    assert leaving.check_turn(speed, altitude="185 km", angle="60 deg").right
    assert leaving.check_circle(speed, altitude="185 km").right


@pytest.mark.parametrize(
    ("answer", "slip"),
    [
        (sqrt(c.MU_EARTH / 400e3), "the altitude is taken for the distance"),
        (sqrt(2 * c.MU_EARTH / (c.R_EARTH + 400e3)), "the factor 2 of the escape speed"),
        (sqrt(c.MU_MOON / (c.R_EARTH + 400e3)), "the Moon's mu"),
        (c.MU_EARTH / (c.R_EARTH + 400e3), "the root is left out"),
        (7.6686, "kilometres are taken for metres"),
    ],
)
def test_slips_on_a_circle(answer, slip):
    said = leaving.check_circle(answer, altitude="400 km")
    assert said.right is False
    assert slip in said.text


def test_slips_on_the_far_end():
    """The semi-major axis, the altitude and the whole ellipse are each told apart."""
    far = reach(R, 3000.0)
    asked = {"altitude": "185 km", "burn": "3000 m/s"}
    assert leaving.check_distance(far, **asked).right
    assert leaving.check_distance("180000 km", **asked).right is False
    for wrong, slip in (
        ((far + R) / 2, "the semi-major axis"),
        (far - c.R_EARTH, "it is the altitude"),
        (far + R, "the whole ellipse"),
    ):
        assert slip in leaving.check_distance(wrong, **asked).text


def test_slips_on_times_and_differences():
    time = {"altitude": "185 km", "distance": "42164 km"}
    right = "5.2559 h"  # half a period of a = (6563.137 + 42164) / 2 km
    assert leaving.check_time(right, **time).right
    assert "the whole ellipse is flown" in leaving.check_time("10.512 h", **time).text
    assert "hours are taken for seconds" in leaving.check_time(5.2559, **time).text
    moon = {"altitude": "185 km", "near": "363300 km", "far": "405500 km"}
    assert leaving.check_far_and_near("6.9 m/s", **moon).right is False
    assert "the burn for the far Moon" in leaving.check_far_and_near(3140.3, **moon).text


def test_slips_on_a_turn():
    speed, asked = sqrt(c.MU_EARTH / R), {"altitude": "185 km", "angle": "10 deg"}
    assert leaving.check_turn(2 * speed * sin(radians(5)), **asked).right
    assert "degrees" in leaving.check_turn(2 * speed * sin(5), **asked).text
    assert "not halved" in leaving.check_turn(2 * speed * sin(radians(10)), **asked).text


def test_slips_on_propellant():
    """The natural exponential, g0, and what is left against what is burnt."""
    asked = {"mass": "110 t", "burn": "3150 m/s", "isp": "450 s"}
    power = 3150 / (450 * 9.80665)
    assert stacking.check_propellant(110e3 * (1 - exp(-power)), **asked).right
    for wrong, slip in (
        (110e3 * (1 - 10**-power), "common logarithm"),
        (110e3 * exp(-power), "the mass that is left"),
        (110e3 * (1 - exp(-3150 / 450)), "multiply it by g0"),
        (110e3 * (exp(power) - 1), "that after the burn"),
    ):
        assert slip in stacking.check_propellant(wrong, **asked).text


def test_slips_on_thrust():
    assert stacking.check_lift_off("2.746 m/s2", thrust_to_weight=1.28).right
    assert "not taken off" in stacking.check_lift_off(1.28 * 9.80665, thrust_to_weight=1.28).text
    asked = {"load": "7.2 t", "thrust": "50 kN", "isp": "358 s"}
    assert stacking.check_burn_time(7200 * 9.80665 * 358 / 50e3, **asked).right
    assert "multiply it by g0" in stacking.check_burn_time(7200 * 358 / 50e3, **asked).text


def test_slips_on_stages():
    asked = {"stages": 2, "burn": "9300 m/s", "isp": "350 s", "structure": "8 %"}
    one = (exp(-4650 / (350 * 9.80665)) - 0.08) / 0.92
    assert stacking.check_payload(one**2, **asked).right
    assert "the share of one stage" in stacking.check_payload(one, **asked).text
    assert "added, not multiplied" in stacking.check_payload(2 * one, **asked).text


def test_what_rides_along(landing_plan):
    """The ratios of the flown burns multiplied; twins of it told apart."""
    ratio = 1.0
    for burn in formulas.carrying(landing_plan):
        ratio *= exp(burn.required / (9.80665 * formulas.isp_of(burn, landing_plan)))
    assert stacking.check_growth(ratio, landing_plan).right
    assert "turned round" in stacking.check_growth(1 / ratio, landing_plan).text
    assert (
        "added"
        in stacking.check_growth(
            sum(
                exp(x.required / (9.80665 * formulas.isp_of(x, landing_plan)))
                for x in formulas.carrying(landing_plan)
            ),
            landing_plan,
        ).text
    )


def test_nothing_is_asked_where_nothing_is_short(landing_plan):
    with pytest.raises(ValueError, match="no burn of this plan is short"):
        closing.check_more(1.0, landing_plan)


def test_time_over_the_burn_meets_hohmann():
    """The least burn takes half the ellipse's period; a hyperbola is flown too."""
    least = sqrt(c.MU_EARTH) * (sqrt(2 / R - 2 / (R + 384.4e6)) - sqrt(1 / R))
    # Half a period is met only to the digits of an arc cosine at the apsis.
    assert time_to(R, 384.4e6, least + 1e-9) == pytest.approx(430_071, rel=2e-3)
    assert time_to(R, 384.4e6, 3300.0) < 2 * 86400
    with pytest.raises(ValueError, match="it escapes Earth"):
        reach(R, 3300.0)


@pytest.mark.parametrize(
    ("latitude", "declination", "hours", "azimuth"),
    [
        (0.0, 10.0, 6.0, 100.0),  # the Moon a quarter turn west, its tilt north: eastwards south
        (0.0, 10.0, 18.0, 80.0),  # a quarter turn east
        (30.0, 0.0, 6.0, 90.0),  # the equator's point a quarter turn away lies due east
        (28.5, 28.5, 12.0, 0.0),  # over the pole
    ],
)
def test_azimuths_of_plain_cases(latitude, declination, hours, azimuth):
    """Great circles that need no table."""
    found = azimuth_towards(latitude, declination, hours)
    assert abs((found - azimuth + 90.0) % 180.0 - 90.0) < 1e-6
