"""Launches that meet a craft in Earth orbit, without a scenario: the passes, and messages."""

from __future__ import annotations

from math import cos, degrees, pi, radians

import pytest

import mplan
from mplan.physics import constants as c
from mplan.physics.bodies import earth
from mplan.scenario.arguments import ArgumentError

GIVEN = {
    "azimuth": "80 deg",
    "latitude": "28 deg",
    "longitude": "-80 deg",
    "target_altitude": "260 km",
    "days": "4 d",
}
FIRST = "2032-05-14 12:00"


@pytest.fixture(scope="module")
def found():
    return mplan.second_launches(FIRST, **GIVEN)


def test_both_passes_of_each_day_lead_into_the_plane(found):
    """Northward along the first launch's azimuth, southward along its mirror image."""
    assert len(found) == 8
    assert [x.northward for x in found] == [False, True] * 4
    for each in found:
        assert degrees(each.azimuth) == pytest.approx(80.0 if each.northward else 100.0, abs=1e-6)
        assert cos(found.inclination) == pytest.approx(
            cos(earth.geocentric_latitude(radians(28.0))) * cos(radians(90.0 - 80.0)), rel=0.02
        )  # the plane's azimuth is some 2 deg off that over the turning ground
        assert degrees(each.between_planes) < 0.001


def test_what_waits_for_the_phase_costs_time_and_no_velocity(found):
    """The same burns on every day; the wait is from none to the time of a turn between both.

    A twentieth more: a long wait asks for a later lift-off, which finds the target further on.
    """
    low, high = (c.R_EARTH + x for x in (185e3, 260e3))
    turn = 1.0 / abs((c.MU_EARTH / low**3) ** 0.5 - (c.MU_EARTH / high**3) ** 0.5) * 2.0 * pi
    assert max(x.delta_v for x in found) - min(x.delta_v for x in found) < 0.1
    assert all(0.0 <= x.waited < 1.06 * turn for x in found)
    assert max(x.waited for x in found) > 0.5 * turn
    assert all(x.duration > x.waited for x in found)


def test_late_or_early_costs_velocity(found):
    """Five minutes are a fifth of a degree, some 25 m/s, whichever way."""
    for late in ("5 min", "-5 min"):
        off = mplan.second_launches(FIRST, **GIVEN, late=late)
        for each, planned in zip(off, found, strict=True):
            assert abs(each.waited - planned.waited) < 8.0 * c.HOUR
            assert 10.0 < each.delta_v - planned.delta_v < 40.0
            assert each.t - planned.t == pytest.approx(300.0 if late == "5 min" else -300.0)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"parking_altitude": "240 km"}, 'parking_altitude: found "240 km"; accepted: 40 km or'),
        ({"target_altitude": "260"}, "target_altitude: found"),
        ({"latitude": "95 deg"}, "latitude: found"),
        ({"days": "400 d"}, "days: found"),
        ({"late": "2 h"}, "late: found"),
    ],
)
def test_messages(change, message):
    with pytest.raises(ArgumentError, match=message):
        mplan.second_launches(FIRST, **{**GIVEN, **change})


def test_it_prints_itself(found):
    text = repr(found)
    assert "first lift-off" in text
    assert "A planning study, not flight approval." in text
    assert text.count("contact after") == len(found)
