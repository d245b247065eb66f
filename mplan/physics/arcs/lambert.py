"""Lambert's problem: the conic that joins two places in a given time.

Solved by Izzo's method (Izzo 2015, Celest. Mech. Dyn. Astr. 121, 1-15) as the orbit library
has it: boinor, or on older Pythons poliastro, of which it is the continuation. The library
compiles its solver in each process, so the first call takes some seconds and the next none.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec

import numpy as np

from mplan.physics.targeting import NoArc

LIBRARIES = ("boinor", "poliastro")
ITERATIONS, TOLERANCE = 35, 1e-10  # of the solver; the tolerance is that of its variable x


def lambert(
    r1: np.ndarray,
    r2: np.ndarray,
    duration: float,
    mu: float,
    *,
    prograde: bool = True,
    revolutions: int = 0,
    low_path: bool = True,
) -> tuple[np.ndarray, np.ndarray]:
    """Return the velocities [m/s] at `r1` and at `r2` [m] of the conic flown in `duration` [s].

    `prograde` tells the way round, about the z axis; `low_path` which of the two arcs, where
    there are whole `revolutions`. ValueError where the places do not fix a plane or the
    duration is not above zero, NoArc where no conic makes so many revolutions in time.
    """
    if not duration > 0.0:
        raise ValueError(f"a flight of {duration} s: the duration must be above 0 s")
    here, there = (np.array(x, dtype=float) for x in (r1, r2))
    if not np.cross(here, there).any():
        raise ValueError("the two places lie on one line with the body: any plane would do")
    solver = _solver()
    options = (revolutions, prograde, low_path, ITERATIONS, TOLERANCE)
    try:
        return solver(mu, here, there, float(duration), *options)
    except (ValueError, RuntimeError) as error:  # too many revolutions, or no convergence
        raise NoArc(
            f"no conic joins the two places in {duration:.0f} s with {revolutions} revolutions"
        ) from error


def _solver() -> Callable:
    """Return the library's solver for plain floats."""
    library = next(name for name in LIBRARIES if find_spec(name))
    return import_module(f"{library}.core.iod").izzo
