"""How likely something holds, as counted, and how far that count can be trusted.

The library's statistics are brought in where they are asked: processes that only fly missions start
sooner without them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

CONFIDENCE = 0.95
ENOUGH = 299  # missions, from which on `lower_bound` of 99 % can be told: 1 - 0.99^299 > 95 %


@dataclass(frozen=True)
class Probability:
    """Of `of` missions `count` did: a share, and the interval of 95 % confidence that it lies in.

    The interval is Clopper and Pearson's (1934, Biometrika 26, 404), exact for missions drawn one
    by one. Those of a Latin hypercube scatter less than these where a figure follows evenly from
    what is drawn, so that the interval is then wider than it need be.
    """

    count: int
    of: int

    @property
    def share(self) -> float:
        """The share of missions."""
        return self.count / self.of if self.of else float("nan")

    @property
    def interval(self) -> tuple[float, float]:
        """The ends of the interval."""
        from scipy.stats import binomtest

        if not self.of:
            return 0.0, 1.0
        found = binomtest(self.count, self.of).proportion_ci(CONFIDENCE, method="exact")
        return float(found.low), float(found.high)


def lower_bound(values: np.ndarray, share: float) -> float | None:
    """Return what at least a `share` of all missions leaves, with 95 % confidence.

    A one-sided tolerance bound by order statistics, whatever the distribution (Wilks 1941, Annals
    of Mathematical Statistics 12, 91): the highest of the lowest values below which the stated
    remainder lies that surely. None where there are too few: for 99 %, fewer than 299.
    """
    from scipy.stats import binom

    n, remainder = len(values), 1.0 - share
    ranks = np.arange(1, int(n * remainder) + 2)
    sure = ranks[binom.sf(ranks - 1, n, remainder) >= CONFIDENCE]
    return float(np.sort(values)[sure[-1] - 1]) if len(sure) else None
