"""What holds an answer where it is: the limits that are reached, and what a unit of each is worth.

Where nothing can be gained, the slope of what is least is a sum of the slopes of those limits,
none of them negative (the conditions of Karush, Kuhn and Tucker): SciPy's non-negative least
squares finds them. Ends of the freed ranges count as limits too.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import nnls

from mplan.studies.sizing.points import Local, Vector, felt

REACHED = 2e-3  # of a limit's worth, that is left at most where it is reached
TOLD = 1e-3  # of the greatest price, below which one is not told
ENDS = 1e-4  # of a range, that an end is away at most where it is reached


def prices(local: Local) -> dict[str, float]:
    """Return what a unit of each room is worth, by name: the value lost if there were more of it.

    Of an answer that is not good, what is beyond its limits takes the place of the value.
    """
    answer = local.answer
    beyond = [name for name, room in answer.rooms.items() if room < 0.0]
    wanted = local.value
    if not answer.good:
        wanted = -sum((local.rooms[name] for name in beyond), np.zeros(len(answer.x)))
    names = reached(local)
    columns = [local.rooms[name] for name in names] + _ends(answer.x)
    if not names:
        return {}
    found, _ = nnls(np.column_stack(columns), wanted)
    worth = dict(zip(names, found[: len(names)].tolist(), strict=True))
    most = max(worth.values(), default=0.0)
    return {name: price for name, price in worth.items() if price > TOLD * most}


def reached(local: Local) -> list[str]:
    """Return the rooms that an answer has used up, and that unknowns move."""
    rooms = local.answer.rooms.items()
    return [name for name, room in rooms if 0.0 <= room <= REACHED and felt(local.rooms[name])]


def unmoved(local: Local) -> list[str]:
    """Return the rooms that are negative and that no unknown moves."""
    rooms = local.answer.rooms
    return [name for name, room in rooms.items() if room < 0.0 and not felt(local.rooms[name])]


def _ends(x: Vector) -> list[Vector]:
    """Return the slopes of what is left up to the ends of the ranges that are reached."""
    unit = np.eye(len(x))
    low = [unit[i] for i in range(len(x)) if x[i] <= ENDS]
    return low + [-unit[i] for i in range(len(x)) if x[i] >= 1.0 - ENDS]
