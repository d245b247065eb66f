"""Heating of the nose: convection and the glow of the shock layer, at the stagnation point.

Both are fits for a cold wall in fully catalytic continuum flow: good for comparing entries, some
tens of per cent off in either direction, and silent about the flanks, turbulence and ablation.
"""

from __future__ import annotations

from math import pi, sqrt

import numpy as np

SUTTON_GRAVES = 1.7415e-4  # kg^0.5/m, air at Earth: NASA TR R-376 (1971) in W/m2 form
RADIATION = 3.416e8  # W/m2: 3.416e4 W/cm2, Brandis and Johnston, AIAA 2014-2374 (as quoted since)
DENSITY_POWER = 1.261  # the same
LARGEST = ((0.5, 0.61), (2.0, 1.23), (10.0, 0.49))  # nose up to [m]: power of it at most, the same
FASTEST = 17e3  # m/s, end of the radiative fit; it begins at 9.5 km/s and fades out at 8.9 km/s


def convective(density: np.ndarray, speed: np.ndarray, nose_radius: float) -> np.ndarray:
    """Return the convective flux [W/m2] at `density` [kg/m3] and `speed` [m/s] through the air.

    Sutton and Graves, NASA TR R-376: k sqrt(density / radius) speed^3, wall enthalpy neglected.
    """
    return SUTTON_GRAVES * np.sqrt(np.asarray(density) / nose_radius) * np.asarray(speed) ** 3


def radiative(density: np.ndarray, speed: np.ndarray, nose_radius: float) -> np.ndarray:
    """Return the radiative flux [W/m2]; zero where the shock layer is too cool to glow.

    Brandis and Johnston, AIAA 2014-2374: noses up to 10 m, 9.5 to 17 km/s, 1e-5 to 5e-3 kg/m3.
    Slower than 9.5 km/s its curve is followed down to where it crosses zero. Raises ValueError
    beyond its nose radius or speed.
    """
    density, speed = np.maximum(density, 1e-12), np.maximum(speed, 1.0)
    if nose_radius > LARGEST[-1][0]:
        raise ValueError(f"nose radius {nose_radius:g} m: the radiative fit ends at 10 m")
    if np.max(speed) > FASTEST:
        raise ValueError(f"speed {np.max(speed):.0f} m/s: the radiative fit ends at 17 km/s")
    most = next(power for radius, power in LARGEST if nose_radius <= radius)
    power = np.minimum(most, 3.175e6 * speed**-1.80 * density**-0.1575)
    glow = np.maximum(-53.26 + 6555.0 / (1.0 + (16000.0 / speed) ** 8.25), 0.0)
    return RADIATION * nose_radius**power * density**DENSITY_POWER * glow


def heat_load(t: np.ndarray, flux: np.ndarray) -> float:
    """Return the heat [J/m2] that a flux [W/m2] at times [s] brings in, by trapezia."""
    t, flux = np.asarray(t), np.asarray(flux)
    return float(np.sum(np.diff(t) * (flux[1:] + flux[:-1]) / 2.0))


def ablated(load: float, effective_heat: float) -> float:
    """Return the mass [kg/m2] that a heat `load` [J/m2] takes off an ablating surface.

    Load over effective heat of ablation [J/kg], which is defined by it: Adams 1959, ARS Journal
    29, 625-632 (from memory). What the surface radiates and its vapours block counts as far as
    the tests of the material saw it. Neglected: what conduction through the char takes to keep
    the structure cool (often as thick again), erosion and melt run-off, margins of material. For
    planning alone: a heat shield is sized by its response in depth.
    """
    return load / effective_heat


def cap_area(nose_radius: float, diameter: float) -> float | None:
    """Return the area [m2] of a spherical cap of a `diameter` [m]; None if no sphere is so wide."""
    if diameter > 2.0 * nose_radius * (1.0 + 1e-9):
        return None
    deep = nose_radius - sqrt(max(nose_radius**2 - diameter**2 / 4.0, 0.0))
    return 2.0 * pi * nose_radius * deep
