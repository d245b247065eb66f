"""A stretch of a burn: the engines that are on, and steps under them and one law of steering.

It lasts until something changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, inf
from typing import NamedTuple, TypeVar

import numpy as np

from mplan.physics.climb.launch_vehicle import Booster, Motor, Stage
from mplan.physics.climb.motion import (
    EngineThrust,
    Surroundings,
    altitude,
    climb_step,
)
from mplan.physics.climb.steering import SteeringLaw, Twelve
from mplan.physics.compiling import entry, source

T = TypeVar("T")
CORE = -1  # in place of a booster: what they stand beside
DRY = 1e-3  # kg, that count as nothing
LONGEST = 3600.0  # s from lift-off: no climb to a parking orbit takes as long
SOONEST = 1e-9  # s, that count as the same time
AT_BOUND = 1e-6  # m past a height that ends a stretch, within which it ends
MOST_CUTS = 60
# Why a stretch has ended.
EDGE, BURNED_OUT, LIGHT, OUTSIDE, ENDLESS = range(5)


class Bounds(NamedTuple):
    """What ends a stretch: a time `edge` [s]; its tanks, if they have a bottom; an engine's mass.

    At a `shut_down` mass [kg] an engine stops, zero for none; above `highest` or below `lowest` [m]
    the stretch is over, where it comes from between them within a millionth of a metre of the
    height; after `most_steps`, each `longest` [s] at most, it leads nowhere.
    """

    edge: float
    bottomless: bool
    shut_down: float
    spare: bool  # an engine to shut down
    lowest: float
    highest: float
    longest: float
    most_steps: int


class Beside(NamedTuple):
    """What boosters draw beside the core: `flow` [kg/s], growing from `start` [s] in `rise` [s]."""

    flow: float
    start: float
    rise: float


@dataclass
class BurningStage:
    """A stage alight: propellant left in its core [kg], how many of its engines are still on.

    `beside` has the same of each booster, None once it has been dropped; `kept` [kg] is what they
    hold more than planned when they are. `pending` is what comes at a time, of which booster or
    drop; of the core itself it is `CORE`.
    """

    stage: Stage
    start: float
    left: float
    engines: int
    beside: tuple[int | None, ...] = ()
    pending: tuple[tuple[float, str, int], ...] = ()
    kept: tuple[float, ...] = ()

    def copy(self) -> BurningStage:
        """Return another that goes its own way."""
        return BurningStage(**vars(self))

    @property
    def attached(self) -> tuple[Booster, ...]:
        """The boosters that have not been dropped."""
        each = zip(self.stage.boosters, self.beside, strict=True)
        return tuple(booster for booster, on in each if on is not None)

    @property
    def _pushing(self) -> list[tuple[Motor, float]]:
        """The motors of the boosters that burn, with the share of their engines that is on."""
        each = zip(self.stage.boosters, self.beside, strict=True)
        return [(booster.motor, on / booster.motor.count) for booster, on in each if on]

    def push(self, factor: float) -> EngineThrust:
        """Return what pushes now, thrust and flow times a `factor`."""
        motor = self.stage.motor
        part = factor * self.engines / motor.count
        core, burning = part * motor.thrust, self._pushing
        thrust = core + factor * sum(share * m.thrust for m, share in burning)
        sea_level = part * motor.thrust_sea_level
        sea_level += factor * sum(share * m.thrust_sea_level for m, share in burning)
        flow = part * motor.flow + factor * sum(share * m.flow for m, share in burning)
        share = core / thrust if thrust else 1.0
        return EngineThrust(
            thrust,
            thrust - sea_level,
            flow,
            share,
            float(motor.throttle_min),
            float(self.start),
            float(motor.build_up),
        )

    def drawn_beside(self, factor: float) -> Beside:
        """Return what the boosters still on draw beside the core."""
        flow = sum(share * motor.flow for motor, share in self._pushing)
        return Beside(factor * flow, float(self.start), float(self.stage.motor.build_up))

    def lose_beside(self, i: int, t: float, factor: float) -> None:
        """Stop one engine of a booster at `t` [s], the flow times a `factor` (see `EngineOut`)."""
        booster, on = self.stage.boosters[i], self.beside[i] or 0
        motor, given = booster.motor, self.stage.motor.at_full(t - self.start)
        ends = {which: when for when, what, which in self.pending if what == "empty"}
        rest = self.stage.motor.at_full(ends[i] - self.start) - given
        self.beside = _set(self.beside, i, on - 1)
        alone = booster.bodies == 1 and list(ends.values()).count(ends[i]) == 1
        if alone and on > 1:
            later = ends[i] + rest / (on - 1)
            others = [x for x in self.pending if x[1:] != ("empty", i)]
            self.pending = tuple(sorted([*others, (later, "empty", i)]))
        else:
            kept = self.kept[i] + factor * motor.flow / motor.count * rest
            self.kept = _set(self.kept, i, kept)

    def drop_beside(self, i: int) -> None:
        """Take a booster off."""
        self.beside = _set(self.beside, i, None)


def _set(values: tuple[T, ...], i: int, value: T) -> tuple[T, ...]:
    return (*values[:i], value, *values[i + 1 :])


@entry
def fly_stretch(
    t: float,
    s: Twelve,
    left: float,
    bounds: Bounds,
    beside: Beside,
    push: EngineThrust,
    law: SteeringLaw,
    around: Surroundings,
    rows: np.ndarray,
) -> tuple[float, Twelve, float, int, int]:
    """Return time, state, propellant left in the core [kg], steps taken, and why it ended.

    `left` is what the core holds before. The moments before each step, as they fit, are written
    into `rows` (n, 13): time and state.
    """
    steps, before = 0, altitude(s)
    while t < bounds.edge - SOONEST:
        if steps >= bounds.most_steps or t > LONGEST:
            return t, s, left, steps, ENDLESS
        if steps < rows.shape[0]:
            _write(rows, steps, t, s)
        steps += 1
        span = bounds.edge - t
        h = span / ceil(span / bounds.longest) if span < inf else bounds.longest
        after = climb_step(t, s, h, push, law, around)
        used = _drawn(t, s, after, h, beside)
        for _ in range(6):
            room = inf if bounds.bottomless else left
            if bounds.shut_down > 0.0:
                room = min(room, max(s[6] - bounds.shut_down, 0.0))
            if used <= room + DRY:
                break
            h *= room / used
            after = climb_step(t, s, h, push, law, around)
            used = _drawn(t, s, after, h, beside)
        height = altitude(after)
        if _past(before, bounds) < 0.0 and _past(height, bounds) > AT_BOUND:
            h, after = _to_bound(t, s, h, bounds, push, law, around)
            used, height = _drawn(t, s, after, h, beside), altitude(after)
        left -= used
        t, s, before = t + h, after, height
        if left <= DRY and not bounds.bottomless:
            return t, s, left, steps, BURNED_OUT
        if bounds.shut_down > 0.0 and s[6] <= bounds.shut_down + 2.0 * DRY and bounds.spare:
            return t, s, left, steps, LIGHT
        if _past(height, bounds) > 0.0:
            return t, s, left, steps, OUTSIDE
    return t, s, left, steps, EDGE


@source
def _past(height: float, bounds: Bounds) -> float:
    """Return by how much [m] a height is above the highest or below the lowest one."""
    return max(height - bounds.highest, bounds.lowest - height)


@source
def _to_bound(
    t: float,
    s: Twelve,
    h: float,
    bounds: Bounds,
    push: EngineThrust,
    law: SteeringLaw,
    around: Surroundings,
) -> tuple[float, Twelve]:
    """Return the step of `h` [s] out of the bounds, cut just past them, and the state there.

    By straight lines through a place within and one past, halving the value of the one that stays
    (Illinois; Dowell & Jarratt 1971, BIT 11, 168-174).
    """
    aim = AT_BOUND / 2.0
    after = climb_step(t, s, h, push, law, around)
    low, high = 0.0, h
    within, past = _past(altitude(s), bounds) - aim, _past(altitude(after), bounds) - aim
    for _ in range(MOST_CUTS):
        cut = high - past * (high - low) / (past - within)
        look = climb_step(t, s, cut, push, law, around)
        off = _past(altitude(look), bounds) - aim
        if off < 0.0 and abs(off) > aim:
            low, within, past = cut, off, past / 2.0
        else:
            high, past, within, after = cut, off, within / 2.0, look
            if abs(off) <= aim:
                break
    return high, after


@source
def _drawn(t: float, s: Twelve, after: Twelve, h: float, beside: Beside) -> float:
    """Return what the core has drawn [kg] in a step; boosters draw at their own steady rate."""
    used = s[6] - after[6]
    if beside.flow == 0.0:
        return used
    grown = min(1.0, (t + h / 2.0 - beside.start) / beside.rise) if beside.rise > 0.0 else 1.0
    return used - beside.flow * grown * h


@source
def _write(rows: np.ndarray, i: int, t: float, s: Twelve) -> None:
    rows[i, 0] = t
    rows[i, 1], rows[i, 2], rows[i, 3] = s[0], s[1], s[2]
    rows[i, 4], rows[i, 5], rows[i, 6] = s[3], s[4], s[5]
    rows[i, 7], rows[i, 8], rows[i, 9] = s[6], s[7], s[8]
    rows[i, 10], rows[i, 11], rows[i, 12] = s[9], s[10], s[11]
