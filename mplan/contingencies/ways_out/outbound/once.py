"""Ways home that several failures ask for at one place: each solved once."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from mplan.physics.arcs.nbody import Arrival
from mplan.physics.circumlunar.coast_past import CorrectionHome
from mplan.physics.targeting import NoArc
from mplan.vehicle.same import Same

Solve = Callable[..., CorrectionHome]  # from where it is, and numbers


def once(solve: Solve, here: Arrival, *numbers: float) -> CorrectionHome:
    """Return what `solve` finds from a place, a function of a module; NoArc where it finds none.

    The place is known by the very object: `OnTheWay.ready` is one for all that fails at one time.
    """
    found = _once(solve, Same(here), numbers)
    if isinstance(found, str):
        raise NoArc(found)
    return found


@lru_cache(maxsize=256)  # the failures of a few looks
def _once(solve: Solve, here: Same[Arrival], numbers: tuple[float, ...]) -> CorrectionHome | str:
    try:
        return solve(here.it, *numbers)
    except ArithmeticError as problem:
        return str(problem)
