"""Air: steady across layers, the quick path and the full one, the exponential one."""

from __future__ import annotations

from math import exp

import pytest

from mplan.physics.bodies import atmosphere
from mplan.physics.bodies.atmosphere import R_STAR


@pytest.mark.parametrize("height", [-400.0, 0.0, 7e3, 40e3, 79e3, 83e3, 120e3, 400e3])
def test_the_quick_path_is_the_full_one(height):
    """Inner loops get the same density, pressure and speed of sound."""
    air = atmosphere.standard_air(height)
    quick = atmosphere.density_pressure_sound(height)
    assert quick == pytest.approx((air.density, air.pressure, air.sound_speed), rel=1e-12)


@pytest.mark.parametrize("edge", [11019.0, 20063.0, 32162.0, 47350.0, 51413.0, 71802.0, 86000.0])
def test_nothing_jumps(edge):
    """Two metres across the edge of a layer change pressure and density by their slope alone.

    At 86 km, where the table takes over, the rows' four digits allow 0.01 %.
    """
    low, high = atmosphere.standard_air(edge - 1.0), atmosphere.standard_air(edge + 1.0)
    assert high.pressure == pytest.approx(low.pressure, rel=6e-4)
    assert high.density == pytest.approx(low.density, rel=6e-4)


@pytest.mark.parametrize("km", [90, 100, 110, 120, 150, 200])
def test_the_thin_air_is_a_gas(km):
    """Pressure, density and temperature above 86 km give a molecular mass between N2 and O."""
    air = atmosphere.standard_air(km * 1e3)
    molecular = air.density * R_STAR * air.temperature / air.pressure
    assert 16.0 < molecular < 28.96
    assert (
        molecular
        < atmosphere.standard_air((km - 5) * 1e3).density
        * R_STAR
        * atmosphere.standard_air((km - 5) * 1e3).temperature
        / atmosphere.standard_air((km - 5) * 1e3).pressure
        * 1.02
    )


def test_density_falls_all_the_way():
    """Up to the end of the standard and beyond, higher is thinner."""
    heights = [x * 1e3 for x in range(0, 1200, 3)]
    densities = [atmosphere.standard_air(x).density for x in heights]
    assert densities == sorted(densities, reverse=True)
    assert densities[-1] < 1e-14


def test_exponential():
    """It thins out by e every scale height."""
    air = atmosphere.exponential(1.225, 7500.0)
    assert air(0.0).density == 1.225
    assert air(15e3).density == pytest.approx(1.225 * exp(-2.0))
