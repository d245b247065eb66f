"""A climb under way: stages burning out one after the other, with what happens on the way.

A `Course` is moved on by whoever steers; it knows the engines, the tanks, the boosters and what
is jettisoned when. It can be copied, to look ahead.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, inf
from typing import NamedTuple

from mplan.physics.climb.launch_vehicle import Dispersions, LaunchVehicle, Stage
from mplan.physics.climb.motion import (
    COASTING,
    EngineThrust,
    Numbers,
    Rates,
    Steer,
    climb_step,
    rates_of,
)
from mplan.physics.climb.weather import CALM, Weather
from mplan.physics.constants import MINUTE

STEP_IN_AIR = 2.0  # s
STEP_ABOVE = 15.0  # s
THICK = 70e3  # m over the mean radius, below which the shorter steps are taken
_EARTH = 6371e3  # m
LONGEST = 3600.0  # s from lift-off: no climb to a parking orbit takes as long
MOST_STEPS = 600  # of one course: LONGEST above the air after ten minutes in it
SOON = 1e-3  # s after the release that an engine lost on the pad counts as lost
DRY = 1e-3  # kg, that count as nothing


class NoInsertion(ArithmeticError):
    """No steering leads from here to the orbit."""


class CourseRow(NamedTuple):
    """One point of a recorded course: what burns there, and how it is steered."""

    t: float
    s: Numbers
    stage: int
    push: EngineThrust
    steer: Steer


class Happening(NamedTuple):
    """Something that happened: time [s], what, to what, and the state just before."""

    t: float
    what: str
    name: str
    s: Numbers


@dataclass
class BurningStage:
    """A stage alight: propellant left in its core [kg], engines and boosters still on."""

    stage: Stage
    start: float
    left: float
    engines: int
    boosters: int = 0
    pending: tuple[tuple[float, str, int], ...] = ()

    def copy(self) -> BurningStage:
        """Return another that goes its own way."""
        return BurningStage(**vars(self))

    def push(self, factor: float) -> EngineThrust:
        """Return what pushes now, thrust and flow times a `factor`."""
        motor, stage = self.stage.motor, self.stage
        part = factor * self.engines / motor.count
        core, burning = part * motor.thrust, [b.motor for b in stage.boosters[: self.boosters]]
        thrust = core + factor * sum(m.thrust for m in burning)
        sea_level = part * motor.thrust_sea_level
        sea_level += factor * sum(m.thrust_sea_level for m in burning)
        flow = part * motor.flow + factor * sum(m.flow for m in burning)
        share = core / thrust if thrust else 1.0
        return EngineThrust(
            thrust, thrust - sea_level, flow, share, motor.throttle_min, self.start, motor.build_up
        )


class Course:
    """Where a climb stands, and how it goes on."""

    def __init__(
        self,
        vehicle: LaunchVehicle,
        dispersions: Dispersions,
        t: float,
        s: Numbers,
        weather: Weather = CALM,
    ) -> None:
        """Start at `t` [s] since release in a state `s`."""
        self.weather = weather
        self.vehicle, self.dispersions, self.t, self.s = vehicle, dispersions, t, s
        self.index, self.final = -1, len(vehicle.stages) - 1
        self.burning: BurningStage | None = None
        self.recording, self.steps = False, 0
        self.rows: list[CourseRow] = []
        self.happened: list[Happening] = []

    def copy(self) -> Course:
        """Return a course that goes on from here on its own, unrecorded."""
        other = Course(self.vehicle, self.dispersions, self.t, self.s, self.weather)
        other.index, other.final, other.steps = self.index, self.final, self.steps
        other.burning = self.burning and self.burning.copy()
        return other

    @property
    def alight(self) -> BurningStage:
        """The stage that burns; ValueError while none does."""
        if self.burning is None:
            raise ValueError("no stage burns at this point of the climb")
        return self.burning

    @property
    def last(self) -> bool:
        """Whether the present stage is the one to end the climb."""
        return self.index == self.final

    def lose(self, mass: float) -> None:
        """Take `mass` [kg] off."""
        self.s = (*self.s[:6], self.s[6] - mass, *self.s[7:])

    def note(self, what: str, name: str) -> None:
        """Keep what happens now."""
        self.happened.append(Happening(self.t, what, name, self.s))

    def ignite(self, *, before: float = 0.0, burned: float = 0.0) -> None:
        """Light the next stage, `before` [s] ago and with `burned` [kg] used up since."""
        self.index += 1
        stage = self.vehicle.stages[self.index]
        start = self.t - before
        pending = [(start + stage.motor.build_up, "full thrust", 0)]
        pending += [(start + x.after, "drop", i) for i, x in enumerate(stage.drops)]
        factor = self.dispersions.thrust
        pending += [(start + b.burn_time(factor), "empty", i) for i, b in enumerate(stage.boosters)]
        out = self.dispersions.engine_out
        if out and out[0] == self.index:
            pending.append((max(start + out[1], self.t + SOON), "engine out", 0))
        left = stage.propellant - burned
        ahead = tuple(sorted(x for x in pending if x[0] > self.t))
        boosters = len(stage.boosters)
        self.burning = BurningStage(stage, start, left, stage.motor.count, boosters, ahead)
        self.note("ignition", stage.name)

    def burn(
        self,
        steer: Steer,
        *,
        marks: tuple[float, ...] = (),
        until: float = inf,
        stop: Callable[[Course], bool] | None = None,
    ) -> bool:
        """Burn until the stage is dry (return True), or until a time or a `stop` (return False).

        Where `until` is given the tanks of the last stage have no bottom, so that what is
        lacking can be told. `stop` is asked after every step; steps end on `marks`.
        """
        b = self.alight
        while self.t < until - 1e-9:
            self._take_pending(b)  # a stop may have come in the step that ended on one
            push = b.push(self.dispersions.thrust)
            rates = rates_of(self.vehicle, self.dispersions, push, steer, self.weather)
            edges = [x for x in (*marks, until, *(p[0] for p in b.pending)) if x > self.t + 1e-9]
            edge = min(edges, default=inf)
            bottomless = self.last and until < inf
            if not self._to(edge, b, rates, push, steer, bottomless=bottomless, stop=stop):
                return False
            if b.left <= DRY and not bottomless:
                return True
            self._take_pending(b)
            if stop and stop(self):
                return False
        return False

    def _to(
        self,
        edge: float,
        b: BurningStage,
        rates: Rates,
        push: EngineThrust,
        steer: Steer,
        *,
        bottomless: bool,
        stop: Callable[[Course], bool] | None,
    ) -> bool:
        """Step to an edge, to dry tanks or to an engine's shut-down; False if asked to stop."""
        floor = self._shut_down_mass(b, push)
        most = STEP_IN_AIR if self._in_air() else STEP_ABOVE
        while self.t < edge - 1e-9:
            span = edge - self.t
            h = span / ceil(span / most) if span < inf else most
            self._count()
            self.record(push, steer)
            after = climb_step(rates, self.t, self.s, h)
            for _ in range(6):
                room = b.left if not bottomless else inf
                used = self._core_use(b, after, h)
                room = min(room, max(self.s[6] - floor, 0.0) if floor else inf)
                if used <= room + DRY:
                    break
                h *= room / used
                after = climb_step(rates, self.t, self.s, h)
            b.left -= used
            self.t, self.s = self.t + h, after
            if b.left <= DRY and not bottomless:
                break
            if floor and self.s[6] <= floor + 2.0 * DRY and b.engines > 1:
                b.engines -= 1
                self.note("engine shut down", b.stage.name)
                break
            if stop and stop(self):
                return False
        self.record(push, steer)
        return True

    def _count(self) -> None:
        """Count a step; NoInsertion for a course that leads nowhere in a climb's time."""
        self.steps += 1
        if self.steps > MOST_STEPS or self.t > LONGEST:
            raise NoInsertion(f"no orbit is reached within {self.t / MINUTE:.0f} min")

    def _in_air(self) -> bool:
        x, y, z = self.s[:3]
        return x * x + y * y + z * z < (_EARTH + THICK) ** 2 and self.dispersions.air > 0.0

    def _shut_down_mass(self, b: BurningStage, push: EngineThrust) -> float:
        """Return the mass [kg] at which an engine that cannot throttle is shut down; 0 for none."""
        motor, most = b.stage.motor, self.vehicle.limits.acceleration
        if most == inf or motor.throttle_min < 1.0 or b.engines < 2:
            return 0.0
        return push.thrust / most if self.s[6] > push.thrust / most else self.s[6]

    def _core_use(self, b: BurningStage, after: Numbers, h: float) -> float:
        """Return what the core has drawn [kg] in a step; boosters draw at their own steady rate."""
        used = self.s[6] - after[6]
        if not b.boosters:
            return used
        rise = b.stage.motor.build_up
        grown = min(1.0, (self.t + h / 2.0 - b.start) / rise) if rise else 1.0
        flow = sum(x.motor.flow for x in b.stage.boosters[: b.boosters])
        return used - self.dispersions.thrust * flow * grown * h

    def _take_pending(self, b: BurningStage) -> None:
        while b.pending and b.pending[0][0] <= self.t + 1e-9:
            (_, what, i), b.pending = b.pending[0], b.pending[1:]
            if what == "drop":
                self._cast_off(i)
            elif what == "empty":
                self._drop_booster(i)
            elif what == "engine out":
                b.engines -= 1
                self.note("engine out", b.stage.name)

    def _cast_off(self, i: int) -> None:
        drop = self.alight.stage.drops[i]
        self.note("jettisoned", drop.name)
        self.lose(drop.mass)

    def _drop_booster(self, i: int) -> None:
        booster = self.alight.stage.boosters[i]
        self.note("jettisoned", booster.name)
        self.alight.boosters -= 1
        self.lose(booster.dropped)

    def separate(self) -> None:
        """End the burn: drop what is left hanging, the stage itself, and wait for the next."""
        b = self.alight
        for _, what, i in b.pending:
            if what == "drop":
                self._cast_off(i)
        self.note("burn-out", b.stage.name)
        self.burning = None
        if not self.last:
            self.note("jettisoned", b.stage.name)
            self.lose(b.stage.dropped)
            wait = self.vehicle.stages[self.index + 1].wait
            if wait:
                self.coast(self.t + wait, wait)

    def coast(self, until: float, most: float = STEP_ABOVE) -> None:
        """Fall freely until a time [s]."""
        rates = rates_of(self.vehicle, self.dispersions, COASTING, _nowhere, self.weather)
        n = ceil((until - self.t) / most)
        h = (until - self.t) / n
        for _ in range(n):
            self._count()
            self.record(COASTING, _nowhere)
            self.t, self.s = self.t + h, climb_step(rates, self.t, self.s, h)
        self.record(COASTING, _nowhere)

    def record(self, push: EngineThrust, steer: Steer) -> None:
        """Keep the point, if points are kept."""
        if self.recording:
            self.rows.append(CourseRow(self.t, self.s, self.index, push, steer))


def _nowhere(t: float, s: Numbers, u: tuple[float, float, float], size: float) -> tuple:
    return (0.0, 0.0, 0.0)
