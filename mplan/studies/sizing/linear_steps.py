"""The least of a smooth function under smooth limits, by a sequence of linear programs.

Around the best point so far everything is taken as linear, by its slopes on each side that was
asked for; SciPy's HiGHS finds the least within a region of trust; what it says is then asked for
in truth, corrected where the limits curve, and kept only if it is better. A region that misleads
shrinks. (Linear programs in a trust region, second-order correction: J. Nocedal, S. J. Wright,
Numerical Optimization, 2nd ed., ch. 18, from memory.)

Nothing here knows of flights: unknowns run from 0 to 1, rooms are what is left up to each limit,
in units that compare, negative beyond it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog

from mplan.studies.sizing import curvature, holding
from mplan.studies.sizing.points import NEARER, Answer, Local, Vector, better, felt

SAFE = 2e-5  # of room, that is aimed at: what is flown then lies within its limits
REGION, NARROWEST = 0.3, 2e-4  # of the unknowns' range, at first and at last
SLOPE_STEP, ROUGH_STEP = 1e-3, 0.05  # of the range; the longer one where rooms are rough
STEEP = 1e4  # of the value for a unit of room: what lies beyond its limit comes first
CORRECTIONS = 3  # of a step, for limits that curve
CUTS = 4  # times that a limit is looked at from beyond it


class Enough(Exception):
    """No more is to be asked: stopped from outside, or as much was asked as is worth it."""


Ask = Callable[[Vector], Answer | None]
AskNear = Callable[[Vector, Answer], Answer | None]


@dataclass
class _Cut:
    """A limit that was only met beyond it: where, its room there, and its slopes."""

    at: Vector
    room: float
    slopes: Vector


class LinearSteps:
    """One search. `ask` answers a point, `near` one close to an answer, which may cost less.

    A step that promises less than `gain` of the value is not made. What was found is kept in
    `best` and, with its slopes, in `local`, whatever ends the search.
    """

    def __init__(self, ask: Ask, near: AskNear, gain: float) -> None:
        """Keep the questions; nothing is asked yet."""
        self._ask, self._near, self._gain = ask, near, gain
        self._cuts: dict[str, _Cut] = {}
        self._looked: dict[str, int] = {}
        self._bends: Vector = np.zeros((0, 0))
        self.best: Answer | None = None
        self.local: Local | None = None  # the last point that was better than those before

    def least(self, start: Vector, region: float = REGION) -> Answer | None:
        """Return the best that is found from a start; None where that has no answer."""
        self.best = self._ask(start)
        if self.best is None or not len(start):
            return self.best
        here = self.local = self._local(self.best)
        self._bends = np.zeros((len(start), len(start)))
        while region > NARROWEST:
            step = self._step(here, region, here.answer.rooms)
            if not self._promises(here, step):
                break
            after, cut = self._corrected(here, step, region)
            if after is not None and better(after, here.answer):
                self.best = after
                here, region = self._moved(here, after), min(1.0, 1.5 * region)
            elif not cut:
                region = min(region, float(np.max(np.abs(step)))) / 2.5
        return self.best

    def _moved(self, before: Local, after: Answer) -> Local:
        """Return the point that a search has come to, having learnt how its way bent."""
        self.local = here = self._local(after)
        if before.answer.good:
            sides = (before.value, before.rooms), (here.value, here.rooms)
            step = after.x - before.answer.x
            self._bends = curvature.update(self._bends, step, *sides, holding.prices(here))
        return here

    def _corrected(self, here: Local, step: Vector, region: float) -> tuple[Answer | None, bool]:
        """Return what a step leads to, turned back to the limits that curve; None if no better.

        And whether a limit was met that nothing was known of.
        """
        for _ in range(1 + CORRECTIONS):
            after = self._ask(here.answer.x + step)
            if after is None or after.good or better(after, here.answer):
                return after, False
            if self._look_beyond(here, after):
                return None, True
            seen = after.rooms.keys() & here.rooms.keys()
            rooms = {k: after.rooms[k] - float(here.rooms[k] @ step) for k in seen}
            step = self._step(here, region, {**here.answer.rooms, **rooms})
        return None, False

    def _look_beyond(self, here: Local, after: Answer) -> bool:
        """Learn the slopes of limits that only tell how far one is beyond them."""
        new = [
            name
            for name, room in after.rooms.items()
            if room < 0.0 and name not in here.answer.rooms and self._looked.get(name, 0) < CUTS
        ]
        if not new:
            return False
        there = self._local(after)
        for name in new:
            self._looked[name] = self._looked.get(name, 0) + 1
            if felt(there.rooms[name]):
                self._cuts[name] = _Cut(after.x, after.rooms[name], there.rooms[name])
        return any(name in self._cuts for name in new)

    def _promises(self, here: Local, step: Vector) -> bool:
        if not here.answer.good:
            rooms = {k: r + float(here.rooms[k] @ step) for k, r in here.answer.rooms.items()}
            ahead = sum(-room for room in rooms.values() if room < 0.0)
            return ahead < here.answer.beyond * (1.0 - NEARER)
        gained = float(here.value @ step + 0.5 * step @ self._bends @ step)
        return gained < -self._gain * abs(here.answer.value)

    def _step(self, here: Local, region: float, rooms: Mapping[str, float]) -> Vector:
        """Return the step of least value within the limits or, where none is, least beyond them."""
        x, n = here.answer.x, len(here.answer.x)
        left, slopes = [], []
        for name, each in here.rooms.items():
            if felt(each):
                left.append(rooms[name] - SAFE)
                slopes.append(each)
        for name, cut in self._cuts.items():
            if name not in here.rooms:
                left.append(cut.room + float(cut.slopes @ (x - cut.at)) - SAFE)
                slopes.append(cut.slopes)
        m, size = len(left), abs(here.answer.value) or 1.0
        rows = np.hstack([-np.array(slopes).reshape(m, n), -np.eye(m)])
        bounds = [(max(-region, -a), min(region, 1.0 - a)) for a in x] + [(0.0, None)] * m
        cost = np.concatenate([here.value / size, np.full(m, STEEP)])
        found = linprog(cost, rows, np.array(left), bounds=bounds, method="highs")
        if found.x is None:
            return np.zeros(n)
        step, most = np.asarray(found.x[:n]), np.array(left) + found.x[n:]
        if not here.answer.good or not np.any(self._bends):
            return step
        bends = self._bends / size
        return curvature.bent(cost[:n], bends, rows[:, :n], most, bounds[:n], step)

    def _local(self, answer: Answer) -> Local:
        """Return an answer with the slopes of its value and rooms, each flown to one side."""
        n = len(answer.x)
        value, rooms = np.zeros(n), {name: np.zeros(n) for name in answer.rooms}
        for i in range(n):
            for step in _sides(answer.x[i], ROUGH_STEP if answer.roughly else SLOPE_STEP):
                x = answer.x.copy()
                x[i] += step
                beside = self._near(x, answer)
                if beside is None:
                    continue
                step = beside.x[i] - answer.x[i]  # as it was rounded
                if step == 0.0:
                    continue
                value[i] = (beside.value - answer.value) / step
                for name in rooms.keys() & beside.rooms.keys():
                    rooms[name][i] = (beside.rooms[name] - answer.rooms[name]) / step
                break
        return Local(answer, value, rooms)


def _sides(x: float, step: float) -> tuple[float, float]:
    return (step, -step) if x <= 0.5 else (-step, step)
