"""Warm and cold days: what follows from their temperatures, and that the standard is untouched."""

from __future__ import annotations

from math import sqrt

import pytest

from mplan.physics.bodies import atmosphere, days
from mplan.physics.bodies.days import STANDARD_DAY, AirDay, air_of

ALTITUDES = [0.0, 130.0, 5e3, 10900.0, 11100.0, 23e3, 40e3, 60e3, 79e3]
DAYS = [AirDay("warm"), AirDay("cold"), AirDay("standard", 15.0), AirDay("cold", -10.0)]


def test_the_standard_day_is_the_standard():
    """Not a table of it: the very function."""
    assert air_of(STANDARD_DAY) is atmosphere.density_pressure_sound


@pytest.mark.parametrize("altitude", ALTITUDES)
def test_rows_give_the_standard_again(altitude):
    """Rows 250 m apart, made for an offset of next to nothing, are the standard to 0.04 %."""
    almost = air_of(AirDay("standard", 1e-9))(altitude)
    assert almost == pytest.approx(atmosphere.density_pressure_sound(altitude), rel=4e-4)


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("altitude", ALTITUDES[1:])
def test_a_column_carries_its_own_weight(day, altitude):
    """Pressure falls by density times gravity (its size at that height), to 0.1 %."""
    air, h = air_of(day), 100.0
    gravity = atmosphere.G0 * (atmosphere.R0 / (atmosphere.R0 + altitude)) ** 2
    slope = (air(altitude + h)[1] - air(altitude - h)[1]) / (2.0 * h)
    assert -slope == pytest.approx(air(altitude)[0] * gravity, rel=2e-3)


@pytest.mark.parametrize("day", DAYS)
@pytest.mark.parametrize("altitude", ALTITUDES)
def test_the_gas_law_holds(day, altitude):
    """Density, pressure and sound all tell the same temperature, to 0.1 K."""
    density, pressure, sound = air_of(day)(altitude)
    gas = atmosphere.R_STAR / atmosphere.M0
    told = days.temperature(day, altitude)
    assert pressure / (density * gas) == pytest.approx(told, abs=0.1)
    assert sound == pytest.approx(sqrt(atmosphere.GAMMA * gas * told), rel=1e-3)


def test_warm_air_is_thin_below_and_thick_above():
    """By as much as the ground is warmer below; the column stands higher, so that it crosses."""
    warm, standard = air_of(AirDay("standard", 20.0)), atmosphere.density_pressure_sound
    assert warm(0.0)[0] / standard(0.0)[0] == pytest.approx(288.15 / 308.15)
    assert warm(14e3)[0] > 1.05 * standard(14e3)[0]


@pytest.mark.parametrize("offset", [-20.0, 20.0])
def test_an_offset_is_gone_higher_up(offset):
    """From 25 km the pressure is the standard's again, to the 0.1 % of a column in geopotential."""
    other = air_of(AirDay("standard", offset))
    for altitude in (25e3, 50e3, 80e3):
        assert other(altitude)[1] == pytest.approx(
            atmosphere.density_pressure_sound(altitude)[1], rel=1e-3
        )


@pytest.mark.parametrize("day", DAYS)
def test_all_days_meet_above(day):
    """No leap at 86 km, and the standard from 120 km on."""
    air, edge = air_of(day), atmosphere.TOP_OF_LAYERS
    assert air(edge + 1.0)[:2] == pytest.approx(air(edge - 1.0)[:2], rel=1e-3)
    assert air(130e3)[:2] == atmosphere.density_pressure_sound(130e3)[:2]
