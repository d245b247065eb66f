"""The aim of a climb above the air: which steering leads to the orbit.

Four numbers of the tangents and the last burn's length are found by Newton's method on the flown
course, so that height, plane, level flight and circular speed come out. The slopes are corrected
by what each step shows (Broyden 1965), and worked out anew where that does not help.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import exp, log, sqrt

import numpy as np

from mplan.physics import constants as c
from mplan.physics.climb.course import Course, NoInsertion
from mplan.physics.climb.guidance import UNIT, InsertionAim, linear_tangent, plane_normal
from mplan.physics.climb.launch_vehicle import Launch
from mplan.physics.climb.motion import Numbers
from mplan.physics.climb.steering import SteeringLaw
from mplan.physics.targeting import Miss
from mplan.physics.vectors import Vector

CLOSE = np.array([1.0, 0.01, 1.0, 0.01, 0.01])  # m and m/s, that count as on target
NUDGE = (1e-4, 1e-4, 1e-4, 1e-4, 0.1)  # of the unknowns, for differences
STRIDE = np.array([0.5, 0.8, 0.3, 0.5, 80.0])  # most of a step in each unknown
TRIES, GUESSED = 18, 10  # steps at most, from a guess of its own and from one given
STALLED = 7  # steps that do not halve the miss: it is not found (those that are take 4 at most)
POOR = 0.3  # of the miss left by a step: more, and the slopes are worked out anew
LONGEST = 2000.0  # s of a last burn; a thrust that asks for more does not carry

TOO_WEAK = "no steering leads to the orbit: the thrust above the air does not carry the vehicle"


def fly_to_cutoff(
    course: Course,
    steer: SteeringLaw,
    burn: float,
    stop: Callable[[Course], bool] | None = None,
) -> bool:
    """Move a course on to the end of its last burn, which lasts `burn` [s] from its ignition.

    Returns False where `stop` has ended it before.
    """
    while True:  # once a stage
        if course.burning is None:
            course.ignite()
        if course.last:
            until = course.alight.start + burn
            course.burn(steer, until=until, stop=stop)
            return course.t >= until - 1e-9
        if not course.burn(steer, stop=stop):
            return False
        course.separate()


def insertion_miss(s: Numbers, launch: Launch, normal: Vector) -> np.ndarray:
    """Return by how much a state is off its orbit: height, climb, plane [m, m/s, m, m/s], speed."""
    r = sqrt(s[0] ** 2 + s[1] ** 2 + s[2] ** 2)
    climb = (s[0] * s[3] + s[1] * s[4] + s[2] * s[5]) / r
    off = s[0] * normal[0] + s[1] * normal[1] + s[2] * normal[2]
    away = s[3] * normal[0] + s[4] * normal[1] + s[5] * normal[2]
    level = sqrt(max(0.0, s[3] ** 2 + s[4] ** 2 + s[5] ** 2 - climb**2))
    return np.array([r - launch.radius, climb, off, away, level - sqrt(c.MU_EARTH / launch.radius)])


def solve_insertion(
    course: Course, launch: Launch, guess: InsertionAim | None = None
) -> InsertionAim:
    """Return the steering that leads from here to the orbit; NoAim if none is found.

    A guess that leads nowhere is given up for one of its own. Then the first look ahead is free
    of air, which a path that dips too deep would meet.
    """
    if guess is not None:
        try:
            return _solved(course, launch, guess, GUESSED)
        except NoInsertion:
            pass
    thin = course.copy()
    thin.dispersions = replace(thin.dispersions, air=0.0)
    return _solved(course, launch, _solved(thin, launch, guess_insertion(course, launch)))


def _solved(course: Course, launch: Launch, guess: InsertionAim, most: int = TRIES) -> InsertionAim:
    """Return the steering that Newton's method finds from a guess."""
    normal, since = plane_normal(launch), course.t

    def off(x: np.ndarray) -> np.ndarray:
        if x[4] > LONGEST:
            raise NoInsertion(TOO_WEAK)
        ahead = course.copy()
        try:
            fly_to_cutoff(ahead, linear_tangent(InsertionAim.of(x), since, normal), float(x[4]))
            if ahead.s[6] <= 0.0:
                raise NoInsertion("the orbit asks for more than the whole mass of the vehicle")
            return insertion_miss(ahead.s, launch, normal)
        except OverflowError as problem:  # a try whose speed ran out of all bounds
            raise NoInsertion(TOO_WEAK) from problem

    x = guess.unknowns
    slopes = np.array(guess.slopes).reshape(5, 5) if guess.slopes else None
    value = off(x)
    before = best = np.inf
    idle = 0
    for _ in range(most):
        size = float(np.max(np.abs(value) / CLOSE))
        if size < 1.0:
            return InsertionAim.of(x, () if slopes is None else tuple(slopes.ravel().tolist()))
        best, idle = (size, 0) if size < 0.5 * best else (best, idle + 1)
        if idle == STALLED:
            break
        if slopes is None or size > POOR * before:
            slopes = _slopes(off, x, value)
        before = size
        move = _move(value, slopes)
        moved = off(x + move)
        slopes = _corrected(slopes, move, moved - value)
        x, value = x + move, moved
    raise NoInsertion(TOO_WEAK)


def _slopes(off: Miss, x: np.ndarray, value: np.ndarray) -> np.ndarray:
    columns = []
    for i, nudge in enumerate(NUDGE):
        moved = x.copy()
        moved[i] += nudge
        columns.append((off(moved) - value) / nudge)
    return np.array(columns).T


def _move(value: np.ndarray, slopes: np.ndarray) -> np.ndarray:
    """Return Newton's step, held to a stride."""
    try:
        move = -np.linalg.solve(slopes, value)
    except np.linalg.LinAlgError as problem:
        raise NoInsertion(TOO_WEAK) from problem
    return move * min(1.0, float(np.min(STRIDE / np.maximum(np.abs(move), 1e-12))))


def _corrected(slopes: np.ndarray, move: np.ndarray, change: np.ndarray) -> np.ndarray:
    """Return slopes that agree with the change just seen (Broyden 1965), the rest as they were."""
    weighed = move / STRIDE**2
    return slopes + np.outer(change - slopes @ move, weighed) / float(weighed @ move)


def guess_insertion(course: Course, launch: Launch) -> InsertionAim:
    """Return a steering to begin with: a flat Earth, the mean thrust, gravity fading with speed."""
    height, climb, _, _, slow = insertion_miss(course.s, launch, plane_normal(launch))
    orbital = sqrt(c.MU_EARTH / launch.radius)
    seconds, burn, ideal = _time_to_gain(course, -1.1 * slow + 100.0)
    a = ideal / seconds
    heavy = c.MU_EARTH / launch.radius**2 * (1.0 - min(1.0, 1.0 + slow / orbital) ** 2)
    p = (heavy * seconds / 2.0 - climb) / (a * seconds)
    q = (heavy * seconds**2 / 3.0 - height - climb * seconds) / (a * seconds**2)
    up, down = max(-1.0, min(1.5, 6.0 * q - 2.0 * p)), max(-2.0, min(2.0, 6.0 * (p - 2.0 * q)))
    return InsertionAim(up, down * UNIT / seconds, 0.0, 0.0, burn)


def _time_to_gain(course: Course, gain: float) -> tuple[float, float, float]:
    """Return time [s] to gain a speed, the last burn's part of it, and ideal velocity [m/s]."""
    b, mass, seconds, burn, wanted = course.burning, course.s[6], 0.0, 0.0, max(gain, 200.0)
    left = wanted
    for i in range(max(course.index, 0) + (b is None), course.final + 1):
        stage = course.vehicle.stages[i]
        lit = b if b and i == course.index else None
        beside = lit.attached if lit else stage.boosters
        motors = [stage.motor, *(x.motor for x in beside)]
        flow = sum(x.flow for x in motors)
        jet = sum(x.thrust for x in motors) / flow
        there = (lit.left if lit else stage.propellant) * flow / stage.motor.flow
        used = mass * (1.0 - exp(-max(left, 50.0) / jet))
        used = used if i == course.final else min(there, used, 0.9 * mass)
        left += jet * log(1.0 - used / mass)
        mass -= used + stage.dropped
        burn = used / flow + stage.motor.build_up / 2.0
        seconds += burn + stage.wait
    already = course.t - b.start if b and course.last else 0.0
    return max(seconds, 1.0), burn + already, wanted
