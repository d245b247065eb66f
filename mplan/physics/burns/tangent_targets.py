"""The numbers of a burn along linear tangents that lead where it should, found in one go.

Newton's method as `targeting.solve` has it for as many unknowns as targets: slopes by forward
differences, brought up to date by what each step shows while the miss shrinks fast (Broyden 1965,
Math. Comp. 19, 577). Here all of it is floats and small tables that compile together with the burn
that is flown: a landing asks for a hundred burns, and a coverage of aborts for a hundred thousand.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from mplan.physics.burns.linear_tangent import (
    LocalState,
    LunarState,
    Spin,
    SteadyThrust,
    TangentSteering,
    fly_steps,
    local_state,
)
from mplan.physics.compiling import entry, source
from mplan.physics.constants import G0
from mplan.physics.targeting import BACK, SHRINKS, NoArc

Sought = tuple[float, float, float, float, float, float]

MET, NONE_FOUND, USED_UP, NO_TIME = 0, 1, 2, 3


class TangentBurn(NamedTuple):
    """A burn whose numbers are sought, flown from `start`: a state in axes that turn at `spin`.

    Lit when some time has passed in free fall, it is first `trimmed` [s] along the path at the
    thrust of `trim`, then flown with `push` in `steps`. `sense` is 1 or, braking, -1. `wanted` is
    where it is to end, its place ahead in [m] along the ground of that radius.
    """

    start: LunarState
    sense: float
    trim: SteadyThrust
    trimmed: float
    push: SteadyThrust
    spin: Spin
    steps: int
    wanted: LocalState


class TangentScale(NamedTuple):
    """Duration [s], tangent and rate [1/s] ahead, the same across, wait [s]: `step` is of the
    differences, `limit` the most that one correction changes.

    `tolerance` is of height [m], climb, speed [m/s], place and speed across, place ahead [m].
    """

    step: Sought
    limit: Sought
    tolerance: Sought


def sought(*first: float) -> Sought:
    """Return numbers to begin with, those that are not sought zero."""
    a, b, c, d, e, f = map(float, (*first, *[0.0] * (6 - len(first))))
    return a, b, c, d, e, f


def aim_tangents(
    burn: TangentBurn,
    first: Sought,
    count: int,
    scale: TangentScale,
    *,
    corrections: int = 25,
    forwards: bool = False,
) -> Sought:
    """Return the numbers that meet the first `count` targets, as many of them being sought.

    `forwards` takes no burn that would end before it begins. NoArc where none are found,
    ArithmeticError where the burn would use up the craft.
    """
    came_to, found = solve_tangents(burn, first, count, scale, corrections, forwards)
    if came_to == USED_UP:
        raise ArithmeticError("the burn would use up the craft itself")
    if came_to == NO_TIME:
        raise ArithmeticError("no time is left for the burn")
    if came_to == NONE_FOUND:
        raise NoArc("none was found that meets its targets")
    return found


@entry
def solve_tangents(
    burn: TangentBurn,
    first: Sought,
    count: int,
    scale: TangentScale,
    corrections: int,
    forwards: bool,
) -> tuple[int, Sought]:
    """Return how the search went, and the numbers it came to: see `aim_tangents`."""
    slope = np.zeros((count, count))
    off, before, step, last = np.zeros(count), np.zeros(count), np.zeros(count), np.zeros(count)
    x, row = first, np.zeros(3)  # of misses at steps each of which takes back the one before it
    returns = 0
    for i in range(corrections):
        came_to = _missed(burn, x, count, scale, forwards, off)
        if came_to != MET:
            return came_to, x
        worst = np.max(np.abs(off))
        if worst <= 1.0:
            return MET, x
        if i > 0 and worst < SHRINKS * np.max(np.abs(before)):
            _brought_up(slope, off, before, last)
        else:
            came_to = _slopes(burn, x, count, scale, forwards, off, slope)
            if came_to != MET:
                return came_to, x
        if not _stepped(slope, off, step):
            return NONE_FOUND, x
        step /= max(1.0, np.max(np.abs(step)))
        undoes = i > 0 and np.max(np.abs(step + last)) < BACK * np.max(np.abs(step))
        returns = returns + 1 if undoes else 0
        if returns > 2 and worst > (1.0 - BACK) * row[1]:
            return NONE_FOUND, x  # to and fro, as where no burn comes near enough
        row[0], row[1], row[2] = row[1], row[2], worst
        x = _moved_on(x, step, scale.limit)
        before[:], last[:] = off, step
    return NONE_FOUND, x


@source
def _moved_on(x: Sought, step: np.ndarray, limit: Sought) -> Sought:
    """Return the numbers after a step in units of the limits."""
    n = len(step)
    return (
        x[0] + float(step[0]) * limit[0],
        x[1] + float(step[1]) * limit[1],
        x[2] + float(step[2]) * limit[2],
        x[3] + (float(step[3]) * limit[3] if n > 3 else 0.0),
        x[4] + (float(step[4]) * limit[4] if n > 4 else 0.0),
        x[5] + (float(step[5]) * limit[5] if n > 5 else 0.0),
    )


@source
def _missed(
    burn: TangentBurn,
    x: Sought,
    count: int,
    scale: TangentScale,
    forwards: bool,
    off: np.ndarray,
) -> int:
    """Write by how many tolerances a burn with the numbers `x` misses, and return how it went."""
    if forwards and x[0] <= 0.0:
        return NO_TIME
    push, state, wanted = burn.push, burn.start, burn.wanted
    if push.mass - push.thrust / (push.isp * G0) * x[0] <= 0.0:
        return USED_UP
    level = TangentSteering(burn.sense, 0.0, 0.0, 0.0, 0.0)
    if x[5] != 0.0:
        state = fly_steps(state, x[5], level, SteadyThrust(0.0, 1.0, 1.0), burn.spin, 2)
    if burn.trimmed != 0.0:
        state = fly_steps(state, burn.trimmed, level, burn.trim, burn.spin, 2)
    law = TangentSteering(burn.sense, x[1], x[2], x[3], x[4])
    end = local_state(fly_steps(state, x[0], law, push, burn.spin, burn.steps))
    off[0] = (end.radius - wanted.radius) / scale.tolerance[0]
    off[1] = (end.climb - wanted.climb) / scale.tolerance[1]
    off[2] = (end.speed - wanted.speed) / scale.tolerance[2]
    if count > 3:
        off[3] = (end.across - wanted.across) / scale.tolerance[3]
        off[4] = (end.across_speed - wanted.across_speed) / scale.tolerance[4]
    if count > 5:
        off[5] = (end.angle - wanted.angle) * wanted.radius / scale.tolerance[5]
    return MET


@source
def _slopes(
    burn: TangentBurn,
    x: Sought,
    count: int,
    scale: TangentScale,
    forwards: bool,
    off: np.ndarray,
    slope: np.ndarray,
) -> int:
    """Write the change of each miss with each number, in units of the limits."""
    beside, aside = np.zeros(count), np.zeros(count)
    for j in range(count):
        aside[:] = 0.0
        aside[j] = scale.step[j] / scale.limit[j]
        came_to = _missed(burn, _moved_on(x, aside, scale.limit), count, scale, forwards, beside)
        if came_to != MET:
            return came_to
        for i in range(count):
            slope[i, j] = (beside[i] - off[i]) / aside[j]
    return MET


@source
def _brought_up(slope: np.ndarray, off: np.ndarray, before: np.ndarray, last: np.ndarray) -> None:
    """Bring slopes up to date with what the `last` step did to the miss that was `before` it."""
    count, square = len(off), 0.0
    for j in range(count):
        square += last[j] * last[j]
    for i in range(count):
        told = 0.0
        for j in range(count):
            told += slope[i, j] * last[j]
        more = (off[i] - before[i] - told) / square
        for j in range(count):
            slope[i, j] += more * last[j]


@source
def _stepped(slope: np.ndarray, off: np.ndarray, step: np.ndarray) -> bool:
    """Write the step to where nothing is missed: Gauss's elimination with the greatest pivots.

    False where the slopes do not tell it.
    """
    count = len(off)
    a = slope.copy()
    step[:] = -off
    for j in range(count):
        p = j
        for i in range(j + 1, count):
            if abs(a[i, j]) > abs(a[p, j]):
                p = i
        if not abs(a[p, j]) > 0.0:
            return False
        if p != j:
            for k in range(count):
                a[j, k], a[p, k] = a[p, k], a[j, k]
            step[j], step[p] = step[p], step[j]
        for i in range(j + 1, count):
            share = a[i, j] / a[j, j]
            for k in range(j + 1, count):
                a[i, k] -= share * a[j, k]
            step[i] -= share * step[j]
    for j in range(count - 1, -1, -1):
        for k in range(j + 1, count):
            step[j] -= a[j, k] * step[k]
        step[j] /= a[j, j]
    return True
