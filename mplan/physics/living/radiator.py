"""What a radiator rejects to the sky, to first order."""

from __future__ import annotations

STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m2 K4), CODATA 2018


def rejected(area: float, emissivity: float, surface: float, sink: float) -> float:
    """Return the heat [W] that leaves an `area` [m2] at a `surface` temperature [K].

    `sink` [K] is that of a black sky that would give it as much as it takes up from all around
    (Stefan and Boltzmann; Gilmore, Spacecraft Thermal Control Handbook, 2002, ch. 6, from memory).
    Neglects how the surface cools along the coolant's way; below zero it takes heat up.
    """
    return emissivity * STEFAN_BOLTZMANN * area * (surface**4 - sink**4)
