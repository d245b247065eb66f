"""Heating of the nose: scaling, limits of the fits, the load."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.physics.entry import heating


def test_convection_scales_as_it_should():
    """With the root of density over radius and the cube of the speed."""
    one = heating.convective(1e-4, 7000.0, 1.0)
    assert heating.convective(4e-4, 7000.0, 1.0) == pytest.approx(2.0 * one)
    assert heating.convective(1e-4, 14000.0, 4.0) == pytest.approx(4.0 * one)


def test_radiation_fades_out_below_nine_kilometres_a_second():
    """Zero at 8.9 km/s, and no jump where the fit begins."""
    assert heating.radiative(3e-4, 8900.0, 4.0) == 0.0
    below, above = heating.radiative(3e-4, np.array([9499.0, 9501.0]), 4.0)
    assert 0.0 < below < above < 1.01 * below


def test_radiation_grows_with_the_nose_and_convection_shrinks():
    """Blunter means a thicker shock layer that glows more: why a capsule's nose has an optimum."""
    blunt, sharp = heating.radiative(2e-4, 11000.0, 4.0), heating.radiative(2e-4, 11000.0, 1.0)
    assert blunt > sharp
    assert heating.convective(2e-4, 11000.0, 4.0) < heating.convective(2e-4, 11000.0, 1.0)


@pytest.mark.parametrize(
    ("speed", "radius", "text"),
    [(11000.0, 10.5, "the radiative fit ends at 10 m"), (17100.0, 1.0, "ends at 17 km/s")],
)
def test_beyond_the_fit_it_refuses(speed, radius, text):
    """No extrapolation."""
    with pytest.raises(ValueError, match=text):
        heating.radiative(1e-4, speed, radius)


def test_the_load_is_the_area_under_the_flux():
    """A triangle of 100 s and 2 MW/m2."""
    assert heating.heat_load([0.0, 40.0, 100.0], [0.0, 2e6, 0.0]) == pytest.approx(1e8)


def test_what_a_heat_load_takes_off():
    """The effective heat of ablation is heat taken up by mass lost: 240 MJ/m2 at 20 MJ/kg."""
    assert heating.ablated(240e6, 20e6) == pytest.approx(12.0)


def test_the_area_of_a_front():
    """Flat it is the disc, at its widest half a sphere; beyond that there is no such cap."""
    assert heating.cap_area(1e4, 4.0) == pytest.approx(np.pi * 4.0, rel=1e-4)
    assert heating.cap_area(2.0, 4.0) == pytest.approx(2.0 * np.pi * 4.0)
    assert heating.cap_area(1.0, 4.0) is None


@pytest.mark.parametrize(
    ("density", "speed", "radius", "flux"),
    [(1.0269e-3, 7500.0, 1.0, 2.354e6), (1e-4, 7800.0, 0.3, 1.509e6)],
)
def test_convective_heating(density, speed, radius, flux):
    """k = 1.7415e-4; worked by hand, to 1e-3."""
    assert heating.convective(density, speed, radius) == pytest.approx(flux, rel=1e-3)
