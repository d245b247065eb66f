"""The numbers of all missions, drawn at once: a Latin hypercube, the same for the same seed.

Each number's distribution is cut into as many parts of like probability as there are missions, and
each part is met once (McKay, Beckman & Conover 1979, Technometrics 21, 239). Which mission draws
what does not depend on who flies it, or when.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.special import ndtr, ndtri

from mplan.scenario.dispersions.spread import CUT, Spread


def design(spreads: Sequence[Spread], missions: int, seed: int) -> np.ndarray:
    """Return what departs, shape (missions, numbers): shares of planned values, or SI."""
    from scipy.stats import qmc  # asked by who draws, not by processes that fly

    source = np.random.default_rng(seed)
    drawn = qmc.LatinHypercube(len(spreads), seed=source).random(missions)
    for column, spread in enumerate(spreads):
        drawn[:, column] = quantiles(spread, drawn[:, column])
    return drawn


def quantiles(spread: Spread, shares: np.ndarray) -> np.ndarray:
    """Return the departures that `shares` of all lie below; normal ones end at four sigma."""
    if spread.sigma is None:
        return spread.low + shares * (spread.high - spread.low)
    below, above = ndtr(-CUT), ndtr(CUT)
    return spread.sigma * ndtri(below + shares * (above - below))
