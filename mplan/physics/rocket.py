"""The rocket equation and what it gives for mass, propellant and time."""

from __future__ import annotations

from math import exp, log

from mplan.physics.constants import G0


def delta_v(isp: float, before: float, after: float) -> float:
    """Return the velocity gained [m/s] from mass `before` to `after` [kg], Isp in [s].

    Tsiolkovsky's equation (Sutton & Biblarz 2017, ch. 4), free of gravity and drag.
    """
    return isp * G0 * log(before / after)


def propellant(isp: float, before: float, delta_v: float) -> float:
    """Return the propellant [kg] that `delta_v` [m/s] costs a craft of mass `before` [kg]."""
    return before * (1.0 - exp(-delta_v / (isp * G0)))


def mass_flow(thrust: float, isp: float) -> float:
    """Return the mass flow [kg/s] of `thrust` [N] at `isp` [s]."""
    return thrust / (isp * G0)


def burn_time(thrust: float, isp: float, propellant: float) -> float:
    """Return how long [s] `propellant` [kg] lasts at full thrust."""
    return propellant / mass_flow(thrust, isp)
