"""Off-nominal cases of the climb: the vehicle of a plan flown again with one thing off nominal.

In the air the planned attitudes are held, by height; from the first staging on the vehicle
knows what it has left and aims for its orbit with that. A planning study: which failures must be
survived, and how, is settled by licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import pi
from typing import get_args

from mplan.contingencies.engine_out import climb_with_engine_out
from mplan.contingencies.held import ControlHeld, judged
from mplan.flight import ended
from mplan.physics.bodies.days import AirDay, DayName
from mplan.physics.climb import launch_climb
from mplan.physics.climb.impact import Footprint, Impact
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import NOMINAL, Dispersions, EngineOut
from mplan.physics.climb.weather import Weather
from mplan.plan import Plan
from mplan.scenario.wording import plain

OUT_AFTER = 60.0  # s after its ignition that a stage loses an engine
LOW_THRUST, DENSE_AIR, STRONG_WIND = 0.98, 1.10, 1.0  # common practice, no source


@dataclass(frozen=True)
class OffNominalCase:
    """One climb with something off nominal: what it has left, and what it meets.

    `control` tells whether one with an engine out is held on its way; None of others.
    """

    name: str
    flown: LaunchClimb
    control: ControlHeld | None = None

    @property
    def reached(self) -> bool:
        """Whether it reaches its orbit."""
        return self.flown.reached

    @property
    def left(self) -> float:
        """Propellant left at insertion [kg]; negative is lacking."""
        return self.flown.left

    @property
    def most_dynamic_pressure(self) -> float:
        """Greatest dynamic pressure [Pa]."""
        return self.flown.most_dynamic_pressure.value

    @property
    def fallen(self) -> Impact | None:
        """Where it comes down, if it does not reach its orbit."""
        return self.flown.fallen


def usual_cases(plan: Plan) -> list[OffNominalCase]:
    """Return the usual off-nominal cases of a plan's climb, the planned one first.

    Low thrust, dense air, head and cross winds, and one engine out of each stage that has several,
    and of each booster.
    """
    cases = _off_nominal(plan.flight.end.climb)
    return [case(plan, name, dispersions) for name, dispersions in cases]


def case(plan: Plan, name: str, dispersions: Dispersions) -> OffNominalCase:
    """Return one off-nominal case of a plan's climb."""
    planned, out = plan.flight.end.climb, dispersions.engine_out
    if dispersions == NOMINAL:
        return OffNominalCase(name, planned)
    flown = _with(planned, dispersions)
    return OffNominalCase(name, flown, judged(plan.flight, out, flown) if out else None)


def footprints(plan: Plan) -> tuple[Footprint, ...]:
    """Return where what a plan drops in the climb comes down, each with its ellipse."""
    return ended.footprints(plan.flight)


def weather_cases(plan: Plan) -> list[OffNominalCase]:
    """Return a plan's climb in other weather: standard, warm and cold days, with and without wind.

    With the planned pitchover angle; the rest of the way follows anew, and no attitude is held.
    """
    planned = plan.flight.end.climb
    now = planned.launch.weather
    others = {
        f"{name} day{', with the wind' if wind else ', no wind'}": Weather(AirDay(name), wind)
        for wind in dict.fromkeys(((), now.wind))
        for name in get_args(DayName)
    }
    found = [OffNominalCase("as planned", planned)]
    for name, weather in others.items():
        if weather != now:
            launch = replace(planned.launch, weather=weather)
            flown = launch_climb.fly_climb(planned.vehicle, launch, planned.steering)
            found.append(OffNominalCase(name, flown))
    return found


def engine_out_cases(plan: Plan, stage: int, times: Sequence[float]) -> list[OffNominalCase]:
    """Return cases with an engine of a stage lost at `times` [s] after its ignition.

    At each time one of its own, where it has several, and one of each booster that still burns.
    """
    return [
        case(plan, name, Dispersions(engine_out=out))
        for name, out in (x for t in times for x in _losses(plan.flight.end.climb, stage, t))
    ]


def _losses(planned: LaunchClimb, stage: int, t: float) -> Iterator[tuple[str, EngineOut]]:
    """Yield the engines that a stage and its boosters may lose `t` [s] after ignition, by name."""
    alight, out = planned.vehicle.stages[stage], EngineOut(stage, t)
    if alight.motor.count > 1:
        yield f"{plain(alight.name)}: one engine out after {t:.0f} s", out
    for beside in alight.boosters:
        if t < beside.burn_time():
            said = f"{plain(beside.name)}: one engine out after {t:.0f} s"
            yield said, out._replace(booster=beside.name)


def upper_stage_cases(plan: Plan, stage: int) -> list[OffNominalCase]:
    """Return upper-stage-only cases: from a stage's ignition on, in the planned state then.

    As planned, with low thrust, and with an engine out where the stage has several. IndexError
    where the climb has no such stage.
    """
    planned = plan.flight.end.climb
    alight = planned.vehicle.stages[stage]
    cases = {"as planned": NOMINAL, _weak(): Dispersions(thrust=LOW_THRUST)}
    if alight.motor.count > 1:
        cases[f"one engine out after {OUT_AFTER:.0f} s"] = Dispersions(
            engine_out=EngineOut(stage, OUT_AFTER)
        )
    return [
        OffNominalCase(
            f"from {plain(alight.name)} on, {name}", climb_from_stage(plan, stage, dispersions)
        )
        for name, dispersions in cases.items()
    ]


def climb_from_stage(plan: Plan, stage: int, dispersions: Dispersions) -> LaunchClimb:
    """Return the climb from a stage's ignition on, flown from the plan with `dispersions`."""
    planned = plan.flight.end.climb
    name = planned.vehicle.stages[stage].name
    lit = next(x for x in planned.track.events if x.what == "ignition" and x.name == name)
    return launch_climb.resume_climb(planned, stage, lit.t, lit.state, dispersions)


def _off_nominal(planned: LaunchClimb) -> Iterator[tuple[str, Dispersions]]:
    against = planned.launch.azimuth + pi
    yield "as planned", NOMINAL
    yield _weak(), Dispersions(thrust=LOW_THRUST)
    yield f"air {100.0 * (DENSE_AIR - 1.0):+.0f} % dense", Dispersions(air=DENSE_AIR)
    yield "strong head wind", Dispersions(wind=STRONG_WIND, wind_to=against)
    yield "strong cross wind", Dispersions(wind=STRONG_WIND, wind_to=against + pi / 2.0)
    for stage in range(len(planned.vehicle.stages)):
        for name, out in _losses(planned, stage, OUT_AFTER):
            yield name, Dispersions(engine_out=out)


def _weak() -> str:
    return f"thrust {100.0 * (LOW_THRUST - 1.0):+.0f} % throughout"


def _with(planned: LaunchClimb, dispersions: Dispersions) -> LaunchClimb:
    """Return a climb with dispersions; one whose only fault is an engine out is followed to it."""
    out = dispersions.engine_out
    if out is not None and dispersions == Dispersions(engine_out=out):
        return climb_with_engine_out(planned, out)
    how = planned.vehicle, planned.launch, planned.steering
    return launch_climb.fly_climb(*how, dispersions)
