"""The burn that mends an arc which has left the Moon and leads nowhere near the aim."""

from __future__ import annotations

from functools import lru_cache

from mplan.physics import constants as c
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.circumlunar.coast_past import CorrectionHome, correct_home
from mplan.vehicle.same import Same

WAITS = (0.5 * c.HOUR, 2.0 * c.HOUR, 6.0 * c.HOUR)  # s, after which an arc is mended (our choice)
RATHER = 0.5  # of what is there: a correction that takes less is not looked for later


@lru_cache(maxsize=256)
def mended(end: Same[Arrival], angle: float, there: float) -> CorrectionHome | None:
    """Return the burn that mends an arc, of the waits in turn the first that takes little.

    `angle` [rad] is that at the interface, `there` [m/s] what the tanks give. None where no burn
    was found that leads home.
    """
    best: CorrectionHome | None = None
    for wait in WAITS:
        try:
            found = correct_home(end.it, wait, angle)
        except ArithmeticError:
            continue
        if best is None or found.delta_v < best.delta_v:
            best = found
        if best.delta_v < RATHER * there:
            break
    return best
