"""What errors at the start of an arc become at its end, and what it costs to take them out.

The state transition matrix is the derivative of the flown arc, by central differences: it knows
all that the integrator knows. Errors are carried to first order. What navigation does not see
when a correction is made goes into it as if it were an error, and stays in the arc after it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from mplan.physics.arcs import nbody
from mplan.physics.vectors import Vector, cross, frozen, unit

# m and m/s. Ten metres in a low orbit are some 7 km at the Moon, where the third order is below
# 1e-4 of the first; and so is, on the calmest arcs, the noise of the lesser integrator.
STEP = np.array([10.0, 10.0, 10.0, 1e-2, 1e-2, 1e-2])
SECOND = 1.0  # s either side, to find a state's own rate
DRAWS = 50_000  # of errors, with a fixed seed: good to 1 % at the 99 % point
PIECE = 5_000  # of them worked on at a time


def transition_matrix(r: np.ndarray, v: np.ndarray, t: float, duration: float) -> np.ndarray:
    """Return d(state at t + duration)/d(state at t), shape (6, 6); m and m/s."""
    state, steps = np.concatenate([r, v]), np.diag(STEP)
    ends = _flown_abreast([*(state + steps), *(state - steps)], t, duration)
    return ((ends[:6] - ends[6:]) / (2.0 * STEP[:, None])).T


def _flown_abreast(states: Sequence[np.ndarray], t: float, duration: float) -> np.ndarray:
    """Return the states (n, 6) that states lead to."""
    ends = nbody.fly_abreast([nbody.ArcStart(x[:3], x[3:], t, duration) for x in states])
    return np.array([np.concatenate([end.r, end.v]) for end in ends])


def _flown(state: np.ndarray, t: float, duration: float) -> np.ndarray:
    return _flown_abreast([state], t, duration)[0]


class InjectionErrors(NamedTuple):
    """Standard deviations of a state after a burn.

    Its speed [m/s], the direction of its velocity [rad, each of two], the time it is reached [s].
    """

    speed: float
    direction: float
    time: float = 0.0


def covariance(r: np.ndarray, v: np.ndarray, t: float, errors: InjectionErrors) -> np.ndarray:
    """Return the (6, 6) covariance [m, m/s] of a state after a burn with independent errors."""
    spread = injection_spread(r, v, t, errors)
    return spread @ spread.T


def injection_spread(r: np.ndarray, v: np.ndarray, t: float, errors: InjectionErrors) -> np.ndarray:
    """Return what one standard deviation of each error does to a state [m, m/s], shape (6, 4).

    Of the speed, of the direction in the plane and out of it, of the time. A craft that reaches the
    state late is on the right path but behind: by its velocity, and by what gravity has yet to do
    to it.
    """
    state, pace = np.concatenate([r, v]), float(np.linalg.norm(v))
    ahead, across = unit(v), unit(cross(r, v))
    spread = np.zeros((6, 4))
    spread[3:, 0] = errors.speed * ahead
    spread[3:, 1] = errors.direction * pace * across
    spread[3:, 2] = errors.direction * pace * cross(ahead, across)
    rate = (_flown(state, t, SECOND) - _flown(state, t, -SECOND)) / (2.0 * SECOND)
    spread[:, 3] = errors.time * rate
    return spread


class Execution(NamedTuple):
    """Standard deviations of a correction as flown: share of its size, direction [rad, of two].

    The proportional part of the model of Gates 1963 (JPL TR 32-504).
    """

    size: float = 0.0
    direction: float = 0.0


class Knowledge(NamedTuple):
    """How well a state is known when a correction is made.

    Standard deviations of position [m] and velocity [m/s], each of three, independent of one
    another and from one correction to the next.
    """

    position: float = 0.0
    velocity: float = 0.0


class Correction(NamedTuple):
    """A midcourse correction `after` [s] from the start: mean and 99 % size [m/s].

    `miss` [m, root mean square] is how far from its end the arc still leads afterwards.
    """

    after: float
    mean: float
    most: float
    miss: float


def plan_corrections(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    duration: float,
    times: Sequence[float],
    spread: np.ndarray,
    execution: Execution = Execution(),  # noqa: B008 (it cannot change)
    knowledge: Knowledge = Knowledge(),  # noqa: B008
) -> tuple[Correction, ...]:
    """Return the corrections at `times` [s after `t`, rising] of an arc of `duration` [s].

    Each brings the arc back to its end point at its end time and is flown with errors, which the
    next has to take out; `spread` is the covariance at the start, and each answers to the errors
    as they are known then. Errors are drawn and carried through, for after the first correction
    they are no longer normally distributed: the 99 % point of the second lies a third or more
    above that of a normal one of the same covariance.
    """
    arc = (tuple(r.tolist()), tuple(v.tolist()), t, duration)
    return _planned(arc, tuple(times), tuple(map(tuple, spread.tolist())), execution, knowledge)


_Arc = tuple[Vector, Vector, float, float]  # as `plan_corrections` is asked: r, v, t, duration
_Spread = tuple[tuple[float, ...], ...]


@lru_cache(maxsize=64)  # a slider on what comes later leaves the arc as it is
def _planned(
    arc: _Arc, times: tuple[float, ...], spread: _Spread, execution: Execution, knowledge: Knowledge
) -> tuple[Correction, ...]:
    """Return the corrections of `plan_corrections`, remembered by its inputs."""
    so_far = (times[:count] for count in range(1, len(times) + 1))
    return tuple(_corrected(arc, x, spread, execution, knowledge)[0] for x in so_far)


@lru_cache(maxsize=8)  # 2.4 MB each: a flight asks for the first correction, then for both
def _corrected(
    arc: _Arc, times: tuple[float, ...], spread: _Spread, execution: Execution, knowledge: Knowledge
) -> tuple[Correction, np.ndarray]:
    """Return the last of the corrections at `times`, and the errors (6, n) drawn after it."""
    *before, after = times
    first, *_, draw = _draws(len(times))
    if before:
        _, errors = _corrected(arc, tuple(before), spread, execution, knowledge)
    else:
        root = _root(np.array(spread))
        errors = np.hstack([root @ some for (some,) in _in_pieces(first)])
    r, v, t, duration = arc
    *_, step = correction_steps(np.array(r), np.array(v), t, duration, times)
    columns = _in_pieces(errors, _unknown(knowledge, len(before)), draw)
    flown = [step.corrected(some, unseen, execution, own) for some, unseen, own in columns]
    sizes = np.linalg.norm(np.hstack([required for required, _ in flown]), axis=0)
    off = np.hstack([step.to_end @ left for _, left in flown])
    miss = float(np.sqrt(np.mean(np.sum(off**2, axis=0))))
    found = Correction(after, float(sizes.mean()), float(np.quantile(sizes, 0.99)), miss)
    return found, frozen(np.hstack([left for _, left in flown]))


def _in_pieces(*columns: np.ndarray) -> Iterator[tuple[np.ndarray, ...]]:
    """Yield arrays (k, `DRAWS`) of draws some columns at a time.

    At longer products BLAS wakes threads of its own, which go on waiting for more in vain: each
    correction then takes a processor several times as long (measured).
    """
    for begin in range(0, DRAWS, PIECE):
        yield tuple(each[:, begin : begin + PIECE] for each in columns)


class CorrectionStep(NamedTuple):
    """What an arc does with errors from one correction to the next, to first order.

    `here` (6, 6) carries a state's error from the correction before, or from the start, to this
    one; `to_end` (3, 6) from here to the place where the arc ends [m, m/s].
    """

    here: np.ndarray
    to_end: np.ndarray

    def corrected(
        self, errors: np.ndarray, unknown: np.ndarray, execution: Execution, draws: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Return the corrections (3, n) that errors (6, n) require, and the errors after them.

        `errors` are those after the correction before, `unknown` (6, n) by how much the state is
        misjudged now; normal `draws` (4, n) say how each correction errs.
        """
        errors = self.here @ errors
        seen = errors + unknown
        required = -np.linalg.solve(self.to_end[:, 3:], self.to_end @ seen)
        errors[3:] += _executed(required, execution, draws)
        return required, errors


def correction_steps(
    r: np.ndarray, v: np.ndarray, t: float, duration: float, times: Sequence[float]
) -> Iterator[CorrectionStep]:
    """Yield the steps between corrections at `times` [s after `t`, rising] of a flown arc."""
    state, now = np.concatenate([r, v]), 0.0
    for after in times:
        here = transition_matrix(state[:3], state[3:], t + now, after - now)
        state, now = _flown(state, t + now, after - now), after
        to_end = transition_matrix(state[:3], state[3:], t + now, duration - now)[:3]
        yield CorrectionStep(here, to_end)


@lru_cache(maxsize=8)
def _draws(corrections: int) -> tuple[np.ndarray, ...]:
    """Return normal draws, the same each time: of a state (6, n), and (4, n) of each correction."""
    draw = np.random.default_rng(0).standard_normal
    return frozen((draw((6, DRAWS)), *(draw((4, DRAWS)) for _ in range(corrections))))


def _unknown(knowledge: Knowledge, correction: int) -> np.ndarray:
    """Return by how much a state is misjudged (6, n); draws of its own leave the others alike."""
    return np.repeat(knowledge, 3)[:, None] * _misjudged(correction)


@lru_cache(maxsize=8)
def _misjudged(correction: int) -> np.ndarray:
    """Return normal draws (6, n), the same each time, of what a correction does not see."""
    return frozen(np.random.default_rng((1, correction)).standard_normal((6, DRAWS)))


def _root(covariance: np.ndarray) -> np.ndarray:
    """Return a matrix whose product with its transpose is `covariance`, singular or not.

    Scaled first, for metres and metres per second lie orders of magnitude apart.
    """
    scale = np.sqrt(np.diag(covariance))
    scale[scale == 0.0] = 1.0
    values, axes = np.linalg.eigh(covariance / np.outer(scale, scale))
    return scale[:, None] * axes * np.sqrt(np.maximum(values, 0.0))


def _executed(burns: np.ndarray, execution: Execution, draws: np.ndarray) -> np.ndarray:
    """Return `burns` (3, n) as flown, too long or short and astray, by normal `draws` (4, n)."""
    squares = np.maximum(np.sum(burns**2, axis=0), np.finfo(float).tiny)
    along = burns * np.sum(burns * draws[:3], axis=0) / squares
    perpendicular = (draws[:3] - along) * np.sqrt(squares)
    return burns * (1.0 + execution.size * draws[3]) + execution.direction * perpendicular
