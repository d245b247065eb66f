"""Drag of a launch vehicle over the Mach number."""

from __future__ import annotations

from bisect import bisect_right

from mplan.physics.compiling import Table, source

DragCurve = tuple[tuple[float, float], ...]  # Mach number and drag coefficient, rising in Mach

# On the largest cross-section, at no angle of attack, base drag with engines running included.
# Common practice, no source: the usual shape, low at first, highest past Mach 1, low again.
USUAL: DragCurve = (
    (0.0, 0.30),
    (0.6, 0.30),
    (0.8, 0.36),
    (0.95, 0.48),
    (1.1, 0.56),
    (1.3, 0.55),
    (1.6, 0.48),
    (2.0, 0.40),
    (3.0, 0.28),
    (4.0, 0.23),
    (6.0, 0.20),
)


@source
def coefficient(mach: float, machs: Table, coefficients: Table) -> float:
    """Return the drag coefficient at a Mach number, straight between the points of a curve."""
    i = bisect_right(machs, mach)
    if i == 0:
        return coefficients[0]
    if i >= len(machs):
        return coefficients[len(machs) - 1]
    m0, c0, m1, c1 = machs[i - 1], coefficients[i - 1], machs[i], coefficients[i]
    return c0 + (c1 - c0) * (mach - m0) / (m1 - m0)
