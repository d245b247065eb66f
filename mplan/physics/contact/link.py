"""The link equation: what a radio link leaves over what its data rate requires.

    Eb/N0 = EIRP - space loss - other losses + G/T - k - 10 log(rate)          [dB]

as design control tables have it (DSN 810-005, Telecommunications Link Design Handbook; CCSDS
401.0-B, rec. 4.1; the space loss is H. T. Friis, Proc. IRE 34, 1946, p. 254). Powers are in dBW,
gains in dBi, G/T in dB/K. Antennas point at each other: what the body of a craft hides, and what
a beam that points elsewhere loses, belongs to the losses that are stated.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np

LIGHT = 299792458.0  # m/s, exact (SI)
BOLTZMANN = 1.380649e-23  # J/K, exact (SI)

Level = TypeVar("Level", float, np.ndarray)


def decibels(ratio: Level) -> Level:
    """Return a ratio, above zero, in dB."""
    return 10.0 * np.log10(ratio)


def space_loss(distance: Level, frequency: float) -> Level:
    """Return what a signal of a `frequency` [Hz] loses over a `distance` [m] in free space [dB]."""
    return 2.0 * decibels(4.0 * np.pi * distance * frequency / LIGHT)


def figure_of_merit(gain: float, temperature: float) -> float:
    """Return G/T [dB/K] of a receiver: `gain` [dBi], system noise `temperature` [K]."""
    return gain - float(decibels(temperature))


def density_ratio(
    eirp: float, g_over_t: float, losses: float, distance: Level, frequency: float
) -> Level:
    """Return C/N0 [dB Hz] from `eirp` [dBW], `g_over_t` [dB/K], `losses` [dB], `distance` [m]."""
    kept = eirp - losses + g_over_t - float(decibels(BOLTZMANN))
    return kept - space_loss(distance, frequency)


def margin(density: Level, rate: float, required: float) -> Level:
    """Return what C/N0 [dB Hz] leaves at a `rate` [bit/s] over the Eb/N0 `required` [dB]."""
    return density - float(decibels(rate)) - required


def closing_rate(density: Level, required: float, spare: float = 0.0) -> Level:
    """Return the rate [bit/s] at which Eb/N0 `required` [dB] is met with `spare` [dB] beyond it."""
    return 10.0 ** ((density - required - spare) / 10.0)
