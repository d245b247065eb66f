"""What a unit costs as more are built: the two learning curves in use, one slope each.

Unit curve (Crawford): unit n costs first * n**b. Cumulative average (Wright, "Factors affecting
the cost of airplanes", Journal of the Aeronautical Sciences 3, 1936): the average of n units is
first * n**b. In both b = log2(slope): each doubling multiplies by the slope.
"""

from __future__ import annotations

from math import log2
from typing import Literal

Curve = Literal["unit", "cumulative average"]


def unit_cost(first: float, number: int, slope: float, curve: Curve) -> float:
    """Return the cost of unit `number` (the first being 1), in what `first` is counted in."""
    exponent = log2(slope)
    if curve == "unit":
        return first * number**exponent
    before = (number - 1) ** (1.0 + exponent) if number > 1 else 0.0
    return first * (number ** (1.0 + exponent) - before)
