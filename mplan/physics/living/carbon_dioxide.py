"""Carbon dioxide in a cabin's air, to first order: it mixes at once, absorbers take a share."""

from __future__ import annotations

from math import exp

GAS_CONSTANT = 8.31446  # J/(mol K), CODATA 2018
MOLAR = 44.009e-3  # kg/mol, IUPAC
ROOM = 295.0  # K (common practice, no source)


def partial_pressure(mass: float, volume: float) -> float:
    """Return the partial pressure [Pa] of a `mass` [kg] of it in a `volume` [m3], at 295 K."""
    return mass / MOLAR * GAS_CONSTANT * ROOM / volume


def in_air(before: float, made: float, flow: float, volume: float, duration: float) -> float:
    """Return the mass [kg] in a cabin's air of `volume` [m3] after a `duration` [s].

    `before` was in it, `made` [kg/s] comes in, and a `flow` [m3/s] of air is freed of it:
    dm/dt = made - flow m / volume. Neglects that absorbers take less as they fill, and doors that
    stand open.
    """
    if flow <= 0.0:
        return before + made * duration
    steady = made * volume / flow
    return steady + (before - steady) * exp(-flow * duration / volume)
