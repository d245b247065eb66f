"""What errors at the start of an arc become at its end, and what it costs to take them out.

The state transition matrix is the derivative of the flown arc, by central differences: it knows
all that the integrator knows. Errors are carried to first order. What navigation does not see
when a correction is made goes into it as if it were an error, and stays in the arc after it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import sqrt
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
LEAST = 1e-150  # m/s, of a correction: one of nothing has no direction


def transition_matrix(r: np.ndarray, v: np.ndarray, t: float, duration: float) -> np.ndarray:
    """Return d(state at t + duration)/d(state at t), shape (6, 6); m and m/s."""
    state, steps = np.concatenate([r, v]), np.diag(STEP)
    ends = _flown_abreast([*(state + steps), *(state - steps)], t, [duration] * 12)
    return ((ends[:6] - ends[6:]) / (2.0 * STEP[:, None])).T


def _flown_abreast(
    states: Sequence[np.ndarray], t: float, durations: Sequence[float]
) -> np.ndarray:
    """Return the states (n, 6) that states lead to, each in its own time [s]."""
    starts = zip(states, durations, strict=True)
    ends = nbody.fly_abreast([nbody.ArcStart(x[:3], x[3:], t, each) for x, each in starts])
    return np.array([np.concatenate([end.r, end.v]) for end in ends])


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
    after, before = _flown_abreast([state, state], t, [SECOND, -SECOND])
    spread[:, 3] = errors.time * (after - before) / (2.0 * SECOND)
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
    return tuple(_corrected(arc, x, spread, execution, knowledge) for x in so_far)


@lru_cache(maxsize=64)  # a flight asks for the first correction, then for both
def _corrected(
    arc: _Arc, times: tuple[float, ...], spread: _Spread, execution: Execution, knowledge: Knowledge
) -> Correction:
    """Return the last of the corrections at `times`."""
    step, *drawn = _drawn(arc, times, spread, execution, knowledge)
    sizes, square = [], 0.0
    for errors, unknown, draws in _in_pieces(*drawn):
        required = step.required(errors, unknown)
        sizes.append(_lengths(required))
        off = step.off(errors, _executed(required, execution, draws))
        square += float(np.sum(off * off))
    size = np.concatenate(sizes)
    miss = sqrt(square / DRAWS)
    return Correction(times[-1], float(size.mean()), float(np.quantile(size, 0.99)), miss)


def _drawn(
    arc: _Arc, times: tuple[float, ...], spread: _Spread, execution: Execution, knowledge: Knowledge
) -> tuple[CorrectionStep, np.ndarray, np.ndarray, np.ndarray]:
    """Return the last step to a correction at `times`, with what is drawn for it.

    Errors that it begins with (6, n), what is not seen (6, n), and how it is flown (4, n). Where no
    correction came before, the errors are normal numbers, and the step has their root in it.
    """
    *before, _ = times
    first, *_, draw = _draws(len(times))
    r, v, t, duration = arc
    *_, step = correction_steps(np.array(r), np.array(v), t, duration, times)
    unknown = _unknown(knowledge, len(before))
    if before:
        return step, _left(arc, tuple(before), spread, execution, knowledge), unknown, draw
    return CorrectionStep(step.here @ _root(np.array(spread)), step.to_end), first, unknown, draw


@lru_cache(maxsize=8)  # 2.4 MB each
def _left(
    arc: _Arc, times: tuple[float, ...], spread: _Spread, execution: Execution, knowledge: Knowledge
) -> np.ndarray:
    """Return the errors (6, n) after the last of the corrections at `times`."""
    step, *drawn = _drawn(arc, times, spread, execution, knowledge)
    pieces = _in_pieces(*drawn)
    return frozen(np.hstack([step.corrected(x, y, execution, z)[1] for x, y, z in pieces]))


def _in_pieces(*columns: np.ndarray) -> Iterator[tuple[np.ndarray, ...]]:
    """Yield arrays (k, `DRAWS`) of draws some columns at a time.

    At longer products BLAS wakes threads of its own, which go on waiting for more in vain: each
    correction then takes a processor several times as long (measured).
    """
    for begin in range(0, DRAWS, PIECE):
        yield tuple(each[:, begin : begin + PIECE] for each in columns)


@dataclass(frozen=True)
class CorrectionStep:
    """What an arc does with errors from one correction to the next, to first order.

    `here` (6, 6) carries a state's error from the correction before, or from the start, to this
    one; `to_end` (3, 6) from here to the place where the arc ends [m, m/s].
    """

    here: np.ndarray
    to_end: np.ndarray

    @cached_property
    def _answer(self) -> np.ndarray:
        """The correction for an error that is seen now, shape (3, 6)."""
        return -np.linalg.solve(self.to_end[:, 3:], self.to_end)

    @cached_property
    def _answer_to_start(self) -> np.ndarray:
        return self._answer @ self.here

    @cached_property
    def _from_start(self) -> np.ndarray:
        """What an error at the step's start comes to at the arc's end, shape (3, 6)."""
        return self.to_end @ self.here

    def required(self, errors: np.ndarray, unknown: np.ndarray) -> np.ndarray:
        """Return the corrections (3, n) that errors (6, n) require.

        `errors` are those after the correction before, `unknown` (6, n) by how much the state is
        misjudged now.
        """
        return self._answer_to_start @ errors + self._answer @ unknown

    def off(self, errors: np.ndarray, executed: np.ndarray) -> np.ndarray:
        """Return by how much (3, n) [m] the arc misses its end, corrected as `executed` (3, n)."""
        return self._from_start @ errors + self.to_end[:, 3:] @ executed

    def corrected(
        self, errors: np.ndarray, unknown: np.ndarray, execution: Execution, draws: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray]:
        """Return what `required` does, and the errors (6, n) after the corrections.

        Normal `draws` (4, n) say how each correction errs.
        """
        required = self.required(errors, unknown)
        errors = self.here @ errors
        errors[3:] += _executed(required, execution, draws)
        return required, errors


def correction_steps(
    r: np.ndarray, v: np.ndarray, t: float, duration: float, times: Sequence[float]
) -> Iterator[CorrectionStep]:
    """Yield the steps between corrections at `times` [s after `t`, rising] of a flown arc."""
    state, now = np.concatenate([r, v]), 0.0
    for after in times:
        here = transition_matrix(state[:3], state[3:], t + now, after - now)
        (state,), now = _flown_abreast([state], t + now, [after - now]), after
        to_end = transition_matrix(state[:3], state[3:], t + now, duration - now)[:3]
        yield CorrectionStep(here, to_end)


@lru_cache(maxsize=8)
def _draws(corrections: int) -> tuple[np.ndarray, ...]:
    """Return normal draws, the same each time: of a state (6, n), and (4, n) of each correction."""
    draw = np.random.default_rng(0).standard_normal
    return frozen((draw((6, DRAWS)), *(draw((4, DRAWS)) for _ in range(corrections))))


@lru_cache(maxsize=8)
def _unknown(knowledge: Knowledge, correction: int) -> np.ndarray:
    """Return by how much a state is misjudged (6, n); draws of its own leave the others alike."""
    return frozen(np.repeat(knowledge, 3)[:, None] * _misjudged(correction))


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
    """Return `burns` (3, n) as flown, too long or short and astray, by normal `draws` (4, n).

    Astray by what a draw has at right angles to the burn.
    """
    sizes = np.maximum(_lengths(burns), LEAST)
    along = np.einsum("ij,ij->j", burns, draws[:3]) / sizes
    flown = burns * (1.0 + execution.size * draws[3] - execution.direction * along)
    flown += execution.direction * sizes * draws[:3]
    return flown


def _lengths(vectors: np.ndarray) -> np.ndarray:
    """Return the lengths (n,) of vectors (3, n)."""
    return np.sqrt(np.einsum("ij,ij->j", vectors, vectors))
