"""Newton's method on flown arcs: few unknowns, few targets, derivatives by small differences."""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from contextlib import suppress
from typing import NamedTuple

import numpy as np

Miss = Callable[[np.ndarray], np.ndarray]
Misses = Callable[[Sequence[np.ndarray]], list[np.ndarray]]  # the same, of several at once
Shot = tuple[int, np.ndarray]  # unknowns, with the number of the problem they belong to


SHRINKS = 0.2  # a miss that shrinks by this much keeps its slopes, brought up to date
SHORT = 0.03  # of the limits: the slopes before such a step still show the way
LEAST = 1e-3  # of the limits: how near to the smallest unknowns is near enough, if not said else
BACK = 0.1  # of a step: one that leads back to within this undoes the step before it
CLOSING = 5  # of the corrections, the last: they meet the targets and seek nothing smaller


class NoArc(ArithmeticError):
    """No arc was found that meets the targets; the text says which."""


class Scaling(NamedTuple):
    """How a targeting problem is scaled."""

    step: np.ndarray  # of each unknown, for the differences
    limit: np.ndarray  # greatest change of each unknown in one correction
    tolerance: np.ndarray  # of each target's miss
    least: float = LEAST  # of the limits: how near to the smallest unknowns is near enough


class _Correction(NamedTuple):
    """A correction made, all in units of the tolerances and limits of its `Scaling`."""

    off: np.ndarray  # the miss before it
    slope: np.ndarray  # d(off)/d(unknowns)
    step: np.ndarray  # the change of the unknowns
    prices: np.ndarray  # what a unit of each miss costs of half the square of the unknowns


def solve_abreast(
    misses: Misses, start: np.ndarray, aim: Scaling, *, corrections: int = 25
) -> np.ndarray:
    """Return the unknowns that bring each of `misses` within its tolerances.

    `misses` tells of several sets of unknowns at once, so that their arcs are flown abreast: after
    a long step the slopes are then asked for anew, since their shots take no longer.

    With more unknowns than targets, those that are smallest together, in units of `aim.limit`:
    of many burns that would do, the least. Where that is not settled in time it is the least but
    for some `LEAST`s, which cost by their squares. NoArc when `corrections` do not suffice or lead
    to and fro.
    """
    return _solved(misses, start, aim, corrections, abreast=True)


def solve(miss: Miss, start: np.ndarray, aim: Scaling, *, corrections: int = 25) -> np.ndarray:
    """Return what `solve_abreast` does, `miss` telling of one set of unknowns at a time."""
    return _solved(lambda xs: [miss(x) for x in xs], start, aim, corrections, abreast=False)


def solve_each(
    misses: Callable[[Sequence[Shot]], list[np.ndarray]],
    starts: Sequence[np.ndarray],
    aim: Scaling,
    *,
    corrections: int = 25,
) -> list[np.ndarray]:
    """Return what `solve` does of several problems, their shots flown side by side.

    `misses` tells of unknowns with the number of the problem they belong to. NoArc when one of the
    problems is not met.
    """
    running = {i: _steps(x, aim, corrections, abreast=False) for i, x in enumerate(starts)}
    asked = {i: next(each) for i, each in running.items()}
    found: dict[int, np.ndarray] = {}
    while asked:
        told = iter(misses([(i, x) for i, xs in asked.items() for x in xs]))
        answers = {i: [next(told) for _ in xs] for i, xs in asked.items()}
        asked = {}
        for i, each in answers.items():
            try:
                asked[i] = running[i].send(each)
            except StopIteration as done:
                found[i] = done.value
    return [found[i] for i in running]


def _solved(
    misses: Misses, start: np.ndarray, aim: Scaling, corrections: int, *, abreast: bool
) -> np.ndarray:
    running = _steps(start, aim, corrections, abreast=abreast)
    asked = next(running)
    while True:
        try:
            asked = running.send(misses(asked))
        except StopIteration as done:
            return done.value


def _steps(
    start: np.ndarray, aim: Scaling, corrections: int, *, abreast: bool
) -> Generator[list[np.ndarray], list[np.ndarray], np.ndarray]:
    """Yield the unknowns whose misses are to be sent, and return those that solve a problem."""
    x = np.array(start, dtype=float)
    settled = x.size == aim.tolerance.size  # nothing to choose between
    last: _Correction | None = None
    bend = np.eye(x.size)  # of half the square of the unknowns, along those that miss alike
    undone: list[float] = []  # misses at steps in a row of which each takes back the one before
    for left in range(corrections, 0, -1):
        # Where slopes are asked for in any case, their shots are flown with the one from here.
        anew = last is None or not settled or (abreast and not _is_short(last))
        around = yield [x, *_beside(x, aim.step)] if anew else [x]
        off = around[0] / aim.tolerance
        met, closing = np.all(np.abs(off) <= 1.0), left <= CLOSING
        if met and (settled or closing):
            return x
        shrunk = last is not None and np.max(np.abs(off)) < SHRINKS * np.max(np.abs(last.off))
        if last is not None and shrunk and not anew:
            # Broyden 1965: what the last step showed, with no new shots
            slope, step = last.slope, last.step
            slope = slope + np.outer(off - last.off - slope @ step, step) / (step @ step)
        else:
            beside = around[1:] or (yield _beside(x, aim.step))
            slope = slopes(around[0], beside, aim.step) * aim.limit / aim.tolerance[:, None]
            if last is not None and not settled:
                bend = _bent(bend, last.step, (slope - last.slope).T @ last.prices)
        back, onward, prices = _ways(slope, off, x / aim.limit, bend)
        if met and np.max(np.abs(back + onward)) < aim.least:
            return x
        step = back if closing else back + onward
        step = step / max(1.0, np.max(np.abs(step)))
        back_again = settled and last is not None and _undoes(step, last.step)
        undone = [*(undone if back_again else []), float(np.max(np.abs(off)))]
        if len(undone) > 3 and undone[-1] > (1.0 - BACK) * undone[-3]:
            break  # to and fro between two places, as where no arc comes near enough
        x, last = x + step * aim.limit, _Correction(off, slope, step, prices)
    raise NoArc("none was found that meets its targets")


def _is_short(last: _Correction) -> bool:
    """Tell whether the slopes before a step still show the way after it."""
    return bool(np.max(np.abs(last.step)) < SHORT)


def _undoes(step: np.ndarray, last: np.ndarray) -> bool:
    """Tell whether a step leads back to where the one before it began."""
    return bool(np.max(np.abs(step + last)) < BACK * np.max(np.abs(step)))


def _beside(x: np.ndarray, step: np.ndarray) -> list[np.ndarray]:
    """Return the unknowns a step off in each of them."""
    return list(x + np.diag(step))


def slopes(here: np.ndarray, beside: Sequence[np.ndarray], step: np.ndarray) -> np.ndarray:
    """Return d(miss)/dx by forward differences, shape (targets, unknowns).

    `here` is the miss at some unknowns, `beside` those a step off in each of them.
    """
    return np.array([(off - here) / size for off, size in zip(beside, step, strict=True)]).T


def _ways(
    slope: np.ndarray, off: np.ndarray, x: np.ndarray, bend: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return the least step to where nothing is missed, from there the step to the least x, prices.

    With as many unknowns as targets there is one place, and no way on from it. Else the least x is
    that of a parabola bent as `bend`, with straight targets (Nocedal & Wright 2006, sec. 18.1).
    """
    if x.size == off.size:
        with suppress(np.linalg.LinAlgError):  # of a slope that tells too little: the least step
            return np.linalg.solve(slope, -off), np.zeros_like(x), np.zeros_like(off)
    u, sizes, across = np.linalg.svd(slope)
    told = int(np.sum(sizes > sizes[0] * max(slope.shape) * np.finfo(float).eps))
    inverse = across[:told].T / sizes[:told] @ u[:, :told].T
    back, alike = -inverse @ off, across[told:]  # steps that change no miss
    if x.size == off.size:
        return back, np.zeros_like(x), np.zeros_like(off)
    rise = x + bend @ back
    onward = -alike.T @ np.linalg.solve(alike @ bend @ alike.T, alike @ rise)
    return back, onward, -inverse.T @ (rise + bend @ onward)


def _bent(bend: np.ndarray, step: np.ndarray, more: np.ndarray) -> np.ndarray:
    """Return a bend that agrees with what a step shows: that slopes, at their prices, are `more`.

    By BFGS, damped so that it stays a valley (Powell 1978; Nocedal & Wright 2006, proc. 18.2).
    """
    known, rise = bend @ step, step + more
    size, seen = step @ known, step @ rise
    if size <= 0.0:
        return bend  # of no step
    if seen < 0.2 * size:
        share = 0.8 * size / (size - seen)
        rise = share * rise + (1.0 - share) * known
    return bend - np.outer(known, known) / size + np.outer(rise, rise) / (step @ rise)
