"""What drives a figure: standardised regression coefficients on everything that is drawn.

A coefficient tells by how many of its standard deviations a figure moves for one of what is drawn;
as all that is drawn is independent, its square is the share of the variance that comes from it, as
far as the figure is linear in it (Saltelli et al. 2008, Global Sensitivity Analysis, sec. 1.2.5).
How far it is, `fit` tells.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import linalg

LINEAR = 0.7  # R2 below which coefficients do not tell the whole (common practice, no source)
MOST_TOLD = 12
SAME = 1e-9  # of a figure, that rounding may move it by
SPARE = 2  # missions more than twice as many as numbers, that a fit asks for at least


@dataclass(frozen=True)
class Driver:
    """One thing that is drawn: what a figure moves by, in standard deviations for one of its."""

    title: str
    coefficient: float

    @property
    def share(self) -> float:
        """The share of the figure's variance that comes from it, if all is linear."""
        return self.coefficient**2


@dataclass(frozen=True)
class Driven:
    """What drives a figure, the most first; `fit` is R2, adjusted for the number of terms."""

    figure: str
    drivers: tuple[Driver, ...]
    fit: float

    @property
    def linear(self) -> bool:
        """Whether the coefficients tell most of how the figure scatters."""
        return self.fit >= LINEAR


def of(
    drawn: np.ndarray, titles: Sequence[str], figures: Mapping[str, np.ndarray]
) -> Iterator[Driven]:
    """Yield what drives each of the `figures`, of missions by rows of `drawn`.

    Missions that have no such figure are left out. Nothing is yielded of a figure that does not
    scatter, or of which there are fewer than twice as many missions as numbers that are drawn.
    """
    for name, values in figures.items():
        flown = np.isfinite(values)
        x, y = drawn[flown], values[flown]
        scattering = x.std(axis=0) > 0.0 if len(y) else np.zeros(x.shape[1], dtype=bool)
        few = len(y) < 2 * scattering.sum() + SPARE
        if few or np.ptp(y) <= SAME * max(1.0, float(np.abs(y).max())):
            continue
        coefficients, fit = _fitted(x[:, scattering], y)
        names = [title for title, each in zip(titles, scattering, strict=True) if each]
        found = [Driver(*pair) for pair in zip(names, coefficients.tolist(), strict=True)]
        found.sort(key=lambda each: -abs(each.coefficient))
        yield Driven(name, tuple(found[:MOST_TOLD]), fit)


def _fitted(x: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, float]:
    """Return the coefficients of columns in standard deviations, and the adjusted R2."""
    standard = (x - x.mean(axis=0)) / x.std(axis=0)
    height = (y - y.mean()) / y.std()
    found, *_ = linalg.lstsq(standard, height)
    left = float(np.sum((height - standard @ found) ** 2)) / len(y)
    return found, 1.0 - left * (len(y) - 1) / (len(y) - x.shape[1] - 1)
