"""One stretch of a way: places at times close enough for straight lines between their angles."""

from __future__ import annotations

from math import ceil
from typing import NamedTuple

import numpy as np


class WayStretch(NamedTuple):
    """A stretch: what it is, times (n,) [TDB s], rising, and places (n, 3) GCRS [m]."""

    name: str
    t: np.ndarray
    r: np.ndarray

    def within(self, begin: float, end: float) -> WayStretch | None:
        """Return the part between two times [TDB s]; None where no more than a moment is left."""
        begin, end = max(begin, float(self.t[0])), min(end, float(self.t[-1]))
        if end <= begin:
            return None
        inside = self.t[(self.t > begin) & (self.t < end)]
        t = np.array([begin, *inside, end])
        r = np.stack([np.interp(t, self.t, x) for x in self.r.T], axis=1)
        return WayStretch(self.name, t, r)


def times(begin: float, end: float, step: float) -> np.ndarray:
    """Return even times from `begin` to `end`, at most a `step` [s] apart."""
    return np.linspace(begin, end, max(2, ceil((end - begin) / step) + 1))
