"""Air over the altitude: the US Standard Atmosphere 1976, and the plain exponential one.

Altitudes are geometric, above the ellipsoid. Up to 86 km the layers are computed from the
standard's own definition (NASA-TM-X-74335, eqs. 18 to 33), with its correction of the molecular
mass from 80 km on. Above, temperature is the standard's (eqs. 25 to 31), and pressure and density
are interpolated in its table by their logarithms: within 0.1 % at the rows, 3 % between them. The
real air departs from any standard by far more up there, with the Sun's activity.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from functools import partial
from math import exp, log, sqrt
from typing import NamedTuple

from mplan.physics.compiling import source

R0 = 6356766.0  # m, Earth's radius of the standard
G0 = 9.80665  # m/s2, the standard's gravity at sea level
R_STAR = 8314.32  # J/(kmol K), the standard's gas constant
M0 = 28.9644  # kg/kmol, mean molecular mass at sea level
GAMMA = 1.4  # ratio of specific heats, of the standard's speed of sound
TOP_OF_LAYERS = 86000.0  # m
TOP = 1.0e6  # m, where the standard ends
_GAS = R_STAR / M0  # J/(kg K)


class Air(NamedTuple):
    """Temperature [K], pressure [Pa], density [kg/m3] and speed of sound [m/s].

    The temperature is the kinetic one. Above 86 km there is no speed of sound in the standard:
    its value at 86 km stands for it, so that a Mach number stays defined.
    """

    temperature: float
    pressure: float
    density: float
    sound_speed: float


Model = Callable[[float], Air]

_H = (0.0, 11e3, 20e3, 32e3, 47e3, 51e3, 71e3)  # geopotential m, bases (table 4 of the standard)
_LAPSE = (-6.5e-3, 0.0, 1.0e-3, 2.8e-3, 0.0, -2.8e-3, -2.0e-3)  # K/m

# Ratio of molecular mass to that at sea level, every 500 m from 80 km to 86 km (table 8).
_M_RATIO = (
    *(1.0, 0.999996, 0.999989, 0.999971, 0.999941, 0.999909),
    *(0.999870, 0.999829, 0.999786, 0.999741, 0.999694, 0.999641, 0.999579),
)

# Geometric altitude km, pressure Pa, density kg/m3: rows of the standard's table from 86 km up.
# As reprinted in several public copies; not read in the report. Pressure, density and temperature
# obey the gas law with the standard's molecular masses (28.95 at 86 km, 26.20 at 120 km).
_ROWS = (
    (86.0, 3.7338e-1, 6.958e-6),
    (90.0, 1.8359e-1, 3.416e-6),
    (95.0, 7.5966e-2, 1.393e-6),
    (100.0, 3.2011e-2, 5.604e-7),
    (105.0, 1.4477e-2, 2.325e-7),
    (110.0, 7.1042e-3, 9.708e-8),
    (115.0, 4.0096e-3, 4.289e-8),
    (120.0, 2.5382e-3, 2.222e-8),
    (130.0, 1.2505e-3, 8.152e-9),
    (140.0, 7.2028e-4, 3.831e-9),
    (150.0, 4.5422e-4, 2.076e-9),
    (160.0, 3.0395e-4, 1.233e-9),
    (180.0, 1.5271e-4, 5.194e-10),
    (200.0, 8.4736e-5, 2.541e-10),
    (250.0, 2.4767e-5, 6.073e-11),
    (300.0, 8.7704e-6, 1.916e-11),
    (350.0, 3.4498e-6, 7.014e-12),
    (400.0, 1.4518e-6, 2.803e-12),
    (450.0, 6.4468e-7, 1.184e-12),
    (500.0, 3.0236e-7, 5.215e-13),
    (600.0, 8.2130e-8, 1.137e-13),
    (700.0, 3.1908e-8, 3.070e-14),
    (800.0, 1.7036e-8, 1.136e-14),
    (900.0, 1.0873e-8, 5.759e-15),
    (1000.0, 7.5138e-9, 3.561e-15),
)
_Z = tuple(row[0] * 1e3 for row in _ROWS)
_LOG_P = tuple(log(row[1]) for row in _ROWS)
_LOG_RHO = tuple(log(row[2]) for row in _ROWS)


def standard_air(altitude: float) -> Air:
    """Return the standard air at a geometric `altitude` [m].

    Below sea level the lowest layer goes on downwards (to -5 km); above 1000 km the values at
    1000 km thin out as they do there, which is vacuum to anything planned here.
    """
    if altitude > TOP_OF_LAYERS:
        return Air(_thin_temperature(altitude), *_thin(altitude))
    molecular, pressure = _layer(altitude)
    density = pressure / (_GAS * molecular)
    kinetic = molecular * _mass_ratio(altitude) if altitude > 80e3 else molecular
    return Air(kinetic, pressure, density, sqrt(GAMMA * _GAS * molecular))


@source
def density_pressure_sound(altitude: float) -> tuple[float, float, float]:
    """Return density [kg/m3], pressure [Pa] and speed of sound [m/s], for inner loops."""
    if altitude > TOP_OF_LAYERS:
        pressure, density, sound = _thin(altitude)
        return density, pressure, sound
    molecular, pressure = _layer(altitude)
    return pressure / (_GAS * molecular), pressure, sqrt(GAMMA * _GAS * molecular)


def exponential(rho0: float, scale_height: float) -> Model:
    """Return the air that thins out by e every `scale_height` [m] from `rho0` [kg/m3].

    Temperature and speed of sound are those of an isothermal gas of that scale height.
    """
    return partial(_exponential_at, rho0, scale_height)


def _exponential_at(rho0: float, scale_height: float, altitude: float) -> Air:
    density = rho0 * exp(-altitude / scale_height)
    temperature = G0 * scale_height / _GAS
    return Air(temperature, density * G0 * scale_height, density, sqrt(GAMMA * G0 * scale_height))


def _bases() -> tuple[tuple[float, float], ...]:
    """Return molecular-scale temperature [K] and pressure [Pa] at the bottom of each layer."""
    found = [(288.15, 101325.0)]
    for low, high, lapse in zip(_H, _H[1:], _LAPSE, strict=False):
        found.append(_up(*found[-1], lapse, high - low))
    return tuple(found)


@source
def _up(temperature: float, pressure: float, lapse: float, rise: float) -> tuple[float, float]:
    """Return temperature [K] and pressure [Pa] higher up in a layer (eqs. 23, 33a, 33b)."""
    if lapse == 0.0:
        return temperature, pressure * exp(-G0 * rise / (_GAS * temperature))
    above = temperature + lapse * rise
    return above, pressure * (temperature / above) ** (G0 / (_GAS * lapse))


_BASES = _bases()
_T_BASES, _P_BASES = tuple(t for t, _ in _BASES), tuple(p for _, p in _BASES)


@source
def _layer(altitude: float) -> tuple[float, float]:
    """Return molecular-scale temperature [K] and pressure [Pa] up to 86 km."""
    h = R0 * altitude / (R0 + altitude)
    i = max(0, bisect_right(_H, h) - 1)
    return _up(_T_BASES[i], _P_BASES[i], _LAPSE[i], h - _H[i])


def _mass_ratio(altitude: float) -> float:
    steps = (altitude - 80e3) / 500.0
    i = min(int(steps), len(_M_RATIO) - 2)
    return _M_RATIO[i] + (steps - i) * (_M_RATIO[i + 1] - _M_RATIO[i])


@source
def _thin(altitude: float) -> tuple[float, float, float]:
    """Return pressure [Pa], density [kg/m3] and a speed of sound [m/s] above 86 km."""
    i = min(max(0, bisect_right(_Z, altitude) - 1), len(_Z) - 2)
    part = (altitude - _Z[i]) / (_Z[i + 1] - _Z[i])
    pressure = exp(_LOG_P[i] + part * (_LOG_P[i + 1] - _LOG_P[i]))
    density = exp(_LOG_RHO[i] + part * (_LOG_RHO[i + 1] - _LOG_RHO[i]))
    return pressure, density, _SOUND_ABOVE


def _thin_temperature(altitude: float) -> float:
    """Return the kinetic temperature [K] above 86 km (eqs. 25, 27, 29, 31)."""
    if altitude <= 91e3:
        return 186.8673
    if altitude <= 110e3:
        return 263.1905 - 76.3232 * sqrt(1.0 - ((altitude - 91e3) / -19942.9) ** 2)
    if altitude <= 120e3:
        return 240.0 + 12e-3 * (altitude - 110e3)
    reduced = (altitude - 120e3) * (R0 + 120e3) / (R0 + altitude)
    return 1000.0 - 640.0 * exp(-0.01875e-3 * reduced)


_SOUND_ABOVE = sqrt(GAMMA * _GAS * _layer(TOP_OF_LAYERS)[0])
