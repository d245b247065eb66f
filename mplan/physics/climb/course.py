"""A climb under way: stages burning out one after the other, with what happens on the way.

A `Course` is moved on by whoever steers; it knows the engines, the tanks, the boosters and what
is jettisoned when. It can be copied, to look ahead.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import NamedTuple

import numpy as np

from mplan.physics.climb.launch_vehicle import Dispersions, LaunchVehicle
from mplan.physics.climb.motion import (
    COASTING,
    EngineThrust,
    Numbers,
    Surroundings,
    altitude,
    surroundings,
)
from mplan.physics.climb.steering import NOWHERE, SteeringLaw
from mplan.physics.climb.stretch import (
    CORE,
    DRY,
    ENDLESS,
    LIGHT,
    OUTSIDE,
    Beside,
    Bounds,
    BurningStage,
    fly_stretch,
)
from mplan.physics.climb.weather import CALM, Weather
from mplan.physics.constants import MINUTE

STEP_IN_AIR = 2.0  # s
STEP_ABOVE = 15.0  # s
THICK = 70e3  # m over the mean radius, below which the shorter steps are taken
_EARTH = 6371e3  # m
MOST_STEPS = 600  # of one course: LONGEST above the air after ten minutes in it
SOON = 1e-3  # s after the release that an engine lost on the pad counts as lost
NOTHING = Beside(0.0, 0.0, 0.0)
UNRECORDED = np.empty((0, 13))


class NoInsertion(ArithmeticError):
    """No steering leads from here to the orbit."""


class CourseRow(NamedTuple):
    """One point of a recorded course: what burns there, and how it is steered."""

    t: float
    s: Numbers
    stage: int
    push: EngineThrust
    steer: SteeringLaw


class Band(NamedTuple):
    """Heights [m] between which a burn goes on."""

    lowest: float = -inf
    highest: float = inf


ANYWHERE = Band()


class Happening(NamedTuple):
    """Something that happened: time [s], what, to what, the state just before, what falls [kg]."""

    t: float
    what: str
    name: str
    s: Numbers
    mass: float = 0.0


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
        self._around: tuple[Surroundings | None, Dispersions] = None, dispersions
        self.rows: list[CourseRow] = []
        self.happened: list[Happening] = []

    def copy(self) -> Course:
        """Return a course that goes on from here on its own, unrecorded."""
        other = Course(self.vehicle, self.dispersions, self.t, self.s, self.weather)
        other.index, other.final, other.steps = self.index, self.final, self.steps
        other.burning = self.burning and self.burning.copy()
        other._around = self._around
        return other

    @property
    def around(self) -> Surroundings:
        """What acts on the vehicle, for the dispersions that it has now."""
        found, of = self._around
        if found is None or of is not self.dispersions:
            found = surroundings(self.vehicle, self.dispersions, self.weather)
            self._around = found, self.dispersions
        return found

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

    def note(self, what: str, name: str, mass: float = 0.0) -> None:
        """Keep what happens now; `mass` [kg] of what is jettisoned."""
        self.happened.append(Happening(self.t, what, name, self.s, mass))

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
        if out and out.stage == self.index:
            which = [x.name for x in stage.boosters].index(out.booster) if out.booster else CORE
            pending.append((max(start + out.after, self.t + SOON), "engine out", which))
        left = stage.propellant - burned
        ahead = tuple(sorted(x for x in pending if x[0] > self.t))
        beside = tuple(x.motor.count for x in stage.boosters)
        engines, kept = stage.motor.count, (0.0,) * len(beside)
        self.burning = BurningStage(stage, start, left, engines, beside, ahead, kept)
        self.note("ignition", stage.name)

    def burn(
        self,
        steer: SteeringLaw,
        *,
        marks: tuple[float, ...] = (),
        until: float = inf,
        within: Callable[[Course], Band] | None = None,
        stop: Callable[[Course], bool] | None = None,
    ) -> bool:
        """Burn until the stage is dry (return True), or until a time or a `stop` (return False).

        Where `until` is given the tanks of the last stage have no bottom, so that what is
        lacking can be told. Steps end on `marks`; `stop` is asked whenever something happens, and
        what heights it is to stay `within`, which are looked at after every step.
        """
        b = self.alight
        while self.t < until - 1e-9:
            self._take_pending(b)  # a stop may have come in the step that ended on one
            edges = [x for x in (*marks, until, *(p[0] for p in b.pending)) if x > self.t + 1e-9]
            bottomless = self.last and until < inf
            band = within(self) if within else ANYWHERE
            why = self._to(min(edges, default=inf), steer, band, bottomless=bottomless)
            if why == OUTSIDE:
                return False
            if b.left <= DRY and not bottomless:
                return True
            self._take_pending(b)
            if (stop and stop(self)) or (within and self._outside(within(self))):
                return False
        return False

    def _outside(self, band: Band) -> bool:
        height = altitude(self.s)
        return height < band.lowest or height > band.highest

    def _to(self, edge: float, steer: SteeringLaw, band: Band, *, bottomless: bool) -> int:
        """Step to an edge, to dry tanks or to an engine's shut-down, and return why it ended."""
        b, around = self.alight, self.around
        push, most = b.push(self.dispersions.thrust), self._most_steps()
        rows = np.empty((most, 13)) if self.recording else UNRECORDED
        step = STEP_IN_AIR if self._in_air() else STEP_ABOVE
        floor = self._shut_down_mass(b, push)
        bounds = Bounds(edge, bottomless, floor, b.engines > 1, *band, step, most)
        beside = b.drawn_beside(self.dispersions.thrust)
        self.t, self.s, b.left, steps, why = fly_stretch(
            self.t, self.s, b.left, bounds, beside, push, steer, around, rows
        )
        self._keep(rows[:steps], push, steer)
        self._count(steps, why)
        if why == LIGHT:
            b.engines -= 1
            self.note("engine shut down", b.stage.name)
        if why != OUTSIDE:
            self.record(push, steer)
        return why

    def _keep(self, rows: np.ndarray, push: EngineThrust, steer: SteeringLaw) -> None:
        """Keep the moments of a stretch, if points are kept."""
        for t, *s in rows.tolist():
            self.rows.append(CourseRow(t, tuple(s), self.index, push, steer))

    def _most_steps(self) -> int:
        return MOST_STEPS - self.steps

    def _count(self, steps: int, why: int) -> None:
        """Count steps; NoInsertion for a course that leads nowhere in a climb's time."""
        self.steps += steps
        if why == ENDLESS:
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

    def _take_pending(self, b: BurningStage) -> None:
        while b.pending and b.pending[0][0] <= self.t + 1e-9:
            (_, what, i), b.pending = b.pending[0], b.pending[1:]
            if what == "drop":
                self._cast_off(i)
            elif what == "empty":
                self._drop_booster(i)
            elif what == "engine out":
                self._lose_engine(b, i)

    def _lose_engine(self, b: BurningStage, i: int) -> None:
        """Stop an engine of the core, or of a booster that is still there (`EngineOut`)."""
        if i == CORE:
            b.engines -= 1
            self.note("engine out", b.stage.name)
        elif b.beside[i] is not None:
            b.lose_beside(i, self.t, self.dispersions.thrust)
            self.note("engine out", b.stage.boosters[i].name)

    def _cast_off(self, i: int) -> None:
        drop = self.alight.stage.drops[i]
        self.note("jettisoned", drop.name, drop.mass)
        self.lose(drop.mass)

    def _drop_booster(self, i: int) -> None:
        b = self.alight
        mass = b.stage.boosters[i].dropped + b.kept[i]
        self.note("jettisoned", b.stage.boosters[i].name, mass)
        b.drop_beside(i)
        self.lose(mass)

    def separate(self) -> None:
        """End the burn: drop what is left hanging, the stage itself, and wait for the next."""
        b = self.alight
        for _, what, i in b.pending:
            if what == "drop":
                self._cast_off(i)
        self.note("burn-out", b.stage.name)
        self.burning = None
        if not self.last:
            self.note("jettisoned", b.stage.name, b.stage.dropped)
            self.lose(b.stage.dropped)
            wait = self.vehicle.stages[self.index + 1].wait
            if wait:
                self.coast(self.t + wait)

    def coast(self, until: float) -> None:
        """Fall freely until a time [s]."""
        around, most = self.around, self._most_steps()
        rows = np.empty((most, 13)) if self.recording else UNRECORDED
        bounds = Bounds(until, True, 0.0, False, *ANYWHERE, STEP_ABOVE, most)
        self.t, self.s, _, steps, why = fly_stretch(
            self.t, self.s, 0.0, bounds, NOTHING, COASTING, NOWHERE, around, rows
        )
        self._keep(rows[:steps], COASTING, NOWHERE)
        self._count(steps, why)
        self.record(COASTING, NOWHERE)

    def record(self, push: EngineThrust, steer: SteeringLaw) -> None:
        """Keep the point, if points are kept."""
        if self.recording:
            self.rows.append(CourseRow(self.t, self.s, self.index, push, steer))
