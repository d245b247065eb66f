"""Heating of the stagnation point: convection, the glow of the shock layer, and what they add to.

Fits for a cold, fully catalytic wall in continuum flow, each with its error: good for comparing
entries, silent about the flanks, turbulence and ablation. A heat shield is held against the upper
end of the errors.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from mplan.physics.entry import radiation
from mplan.physics.vectors import frozen

SUTTON_GRAVES = 1.7415e-4  # kg^0.5/m, air at Earth: NASA TR R-376 (1971) in W/m2 form
# W/m2 and powers of density, speed and radius, up to 9.5 km/s and beyond: Brandis and Johnston,
# AIAA 2014-2374 (as quoted since)
SLOW = (7.455e-5, 0.4705, 3.089, -0.52)
FAST = (1.27e-2, 0.4678, 2.524, -0.52)
# Of convection: older fits lie up to 6 % above (R. Detra, N. Kemp and F. Riddell 1957) and 17 %
# below (Sutton and Graves) at speeds of a return, and the effective nose radius adds 7 %.
ERROR = 0.15


def convective(density: np.ndarray, speed: np.ndarray, radius: float) -> np.ndarray:
    """Return the convective flux [W/m2] at `density` [kg/m3] and `speed` [m/s] through the air.

    Brandis and Johnston, AIAA 2014-2374, from flows computed with ionised air: 3 to 17 km/s,
    1e-5 to 5e-3 kg/m3, noses of 0.2 to 10 m; beyond, where little heat comes, it is followed on.
    Of its two pieces the lower one: they cross at 9.3 km/s. Good to `ERROR`.
    """
    density, speed = np.asarray(density), np.asarray(speed)
    slow, fast = (a * density**b * speed**c * radius**d for a, b, c, d in (SLOW, FAST))
    return np.minimum(slow, fast)


def sutton_graves(density: np.ndarray, speed: np.ndarray, radius: float) -> np.ndarray:
    """Return the convective flux [W/m2] by the older fit, for comparison.

    NASA TR R-376: k sqrt(density / radius) speed^3, wall enthalpy neglected.
    """
    return SUTTON_GRAVES * np.sqrt(np.asarray(density) / radius) * np.asarray(speed) ** 3


class Heat(NamedTuple):
    """Heating [W/m2] along an entry, at times [s]: arrays (n,)."""

    t: np.ndarray
    convective: np.ndarray
    radiative: np.ndarray

    @property
    def flux(self) -> np.ndarray:
        """Both together [W/m2]."""
        return self.convective + self.radiative

    @property
    def upper(self) -> np.ndarray:
        """Both at the upper ends of their errors [W/m2]: what a shield has to bear."""
        return (1.0 + ERROR) * self.convective + (1.0 + radiation.ERROR) * self.radiative

    @property
    def peak(self) -> float:
        """The greatest flux [W/m2]."""
        return peak(self.t, self.flux)

    @property
    def upper_peak(self) -> float:
        """The same at the upper ends of the errors."""
        return peak(self.t, self.upper)

    @property
    def load(self) -> float:
        """Heat taken up [J/m2]."""
        return heat_load(self.t, self.flux)

    @property
    def upper_load(self) -> float:
        """The same at the upper ends of the errors."""
        return heat_load(self.t, self.upper)


def heat_along(t: np.ndarray, density: np.ndarray, speed: np.ndarray, radius: float) -> Heat:
    """Return the heating along an entry of arrays (n,), on an effective nose `radius` [m]."""
    return frozen(
        Heat(
            np.array(t),
            convective(density, speed, radius),
            radiation.radiative(density, speed, radius),
        )
    )


def peak(t: np.ndarray, flux: np.ndarray) -> float:
    """Return the greatest value of a `flux`, between its rows: a parabola through the top three."""
    top = int(np.argmax(flux))
    if not 0 < top < len(flux) - 1:
        return float(flux[top])
    a, b, c = (float(x) for x in flux[top - 1 : top + 2])
    before, after = float(t[top] - t[top - 1]), float(t[top + 1] - t[top])
    rise, fall = (b - a) / before, (b - c) / after
    slope = (rise * after - fall * before) / (before + after)
    bend = (rise + fall) / (before + after)
    return b + slope**2 / (4.0 * bend) if bend > 0.0 else b


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
