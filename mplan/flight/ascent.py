"""From the pad to the parking orbit, flown as a whole when its first burn comes.

What climbs is made of the burns and jettisons ahead. The steering is the one that leaves most in
the last stage, or, to answer quickly, that of another climb of the same stages. Each burn of the
scenario then takes its part of what was flown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import takewhile
from math import inf, pi
from typing import NamedTuple

from mplan.flight import settling
from mplan.flight.record import CastOff
from mplan.flight.ships import second_launch
from mplan.flight.state import Launched, Need, State
from mplan.flight.unflyable import Unflyable
from mplan.physics import constants as c
from mplan.physics.bodies.days import AirDay
from mplan.physics.climb import launch_climb, optimum
from mplan.physics.climb.drag import USUAL
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import (
    Booster,
    ClimbLimits,
    Drop,
    Launch,
    LaunchVehicle,
    Motor,
    Stage,
)
from mplan.physics.climb.stage_burns import StageBurn
from mplan.physics.climb.weather import Weather, wind_row
from mplan.scenario import BurnEvent, CoastEvent, Engine, Event, JettisonEvent, Scenario
from mplan.vehicle import layout
from mplan.vehicle.control import outline
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import main_engine, thrust, thrust_at_sea_level


def climb(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return what one stage gives to the climb, which is flown when the first one burns."""
    launched = state.launched or Launched(fly_climb(state, burn, ahead))
    part = launched.climb.parts[launched.stages_burned]
    at = evolved(state, elapsed=max(0.0, part.ignition), launched=launched)
    then = evolved(at, launched=evolved(launched, stages_burned=launched.stages_burned + 1))
    return Need(
        part.gained,
        at,
        then,
        part.losses,
        note=kept(launched.climb),
        duration=_cut_off(launched.climb, part) - at.elapsed,
        part=part,
        beside=burn.beside,
    )


def _cut_off(flown: LaunchClimb, part: StageBurn) -> float:
    """Return the end [s] of a stage's burn: where its tanks run dry, if that comes first."""
    if flown.reached or not flown.rises:
        return part.cut_off
    return min(part.cut_off, float(flown.track.t[-1]))


def kept(flown: LaunchClimb) -> str:
    """Return a remark on a climb steered as another one; "" for one steered for itself."""
    if flown.optimised:
        return ""
    return f"steered as the optimised climb of {flown.steering.of}"


def fly_climb(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> LaunchClimb:
    """Return the whole climb from the pad, `burn` being its first burn.

    It is steered as `state.steered_as` where that has the same stages, else the optimum is sought.
    One that errs is held to the planned attitudes, from the planned pad.
    """
    vehicle, like, erring = vehicle_of(state, burn, ahead), state.steered_as, state.erring
    if like and erring:
        how = like.launch, like.steering, erring.programme, erring.climb
        return launch_climb.fly_programmed(vehicle, *how)
    pad = launch_of(state, ahead)
    if like and [x.name for x in like.vehicle.stages] == [x.name for x in vehicle.stages]:
        return optimum.climb_like(vehicle, pad, like)
    return optimum.best_climb(vehicle, pad, state.scenario.mission.name)


def launch_of(state: State, ahead: Sequence[Event]) -> Launch:
    """Return where and how the climb begins and what orbit it leads to."""
    scenario, how = state.scenario, state.scenario.climb
    return Launch(
        scenario.launch_site.latitude,
        second_launch.plane_azimuth(state, ahead),
        c.R_EARTH + scenario.orbits.parking_altitude,
        how.hold_down,
        how.vertical_rise_time,
        how.pitchover_duration,
        how.pitchover_angle,
        weather_of(scenario),
    )


def weather_of(scenario: Scenario) -> Weather:
    """Return the air and the wind of the launch day."""
    how = scenario.climb
    rows = how.wind.rows if how.wind else ()
    return Weather(AirDay(how.day, how.temperature_offset), tuple(wind_row(*row) for row in rows))


def vehicle_of(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> LaunchVehicle:
    """Return what climbs: the stack as it stands, with the stages that the events ahead light."""
    scenario = state.scenario
    craft = state.joined(burn.element)
    drafts = list(_drafts(scenario, burn, ahead))
    settled, spent = state, []  # before each ignition in flight; it counts as dropped below
    for draft in drafts[1:]:
        settled, drawn = settling.in_climb(settled, draft.burn, draft.wait)
        spent.append(drawn)
    stages = [x.stage(settled, gone) for x, gone in zip(drafts, [*spent, 0.0], strict=True)]
    widest = max(scenario.elements[name].diameter for name in craft)
    limits = ClimbLimits(
        scenario.climb.acceleration_limit or inf, scenario.climb.pressure_limit or inf
    )
    curve = tuple((mach, scenario.climb.drag_factor * drag) for mach, drag in USUAL)
    slope = outline.normal_slope(scenario, craft)
    area = pi / 4.0 * widest**2
    return LaunchVehicle(state.mass(craft), tuple(stages), area, curve, limits, slope)


@dataclass
class _Draft:
    """A stage while its events are gathered."""

    burn: BurnEvent
    wait: float = 0.0
    dropped: list[str] = field(default_factory=list)
    drops: list[tuple[str, float, tuple[str, ...]]] = field(default_factory=list)

    def stage(self, state: State, gone: float) -> Stage:
        """Return it with its masses in `state`; `gone` [kg] settles the stage above it."""
        scenario, name = state.scenario, self.burn.element
        _, engine = main_engine(scenario.elements[name], self.burn.engine)
        usable = state.ledger.usable(name, engine)
        dropped = state.mass(tuple(self.dropped)) - (usable if name in self.dropped else 0.0)
        dropped += gone
        boosters = tuple(_booster(state, other) for other in self.burn.beside)
        drops = tuple(
            Drop(what, at, state.mass(those), _drag_area(state, those))
            for what, at, those in self.drops
        )
        area = _drag_area(state, self.dropped)
        return Stage(name, _motor(engine), usable, dropped, self.wait, boosters, drops, area)


def _drafts(scenario: Scenario, burn: BurnEvent, ahead: Sequence[Event]) -> Iterator[_Draft]:
    """Yield the stages of the climb, from the events up to the first burn that is no part of it."""
    draft, wait, lit = _Draft(burn), 0.0, {burn.element}
    for index, event in enumerate(ahead, len(scenario.events) - len(ahead)):
        if isinstance(event, BurnEvent):
            if event.leg != "climb":
                break
            if event.element in lit:
                text = f"{event.element} has burned in the climb before; accepted: one burn a stage"
                raise Unflyable(("events", index, "element"), text)
            lit.add(event.element)
            yield draft
            draft = _Draft(event, wait + _pause(scenario, draft.burn, event))
            wait = 0.0
        elif isinstance(event, JettisonEvent) and event.at is not None:
            draft.drops.append((together(event.elements), event.at, event.elements))
        elif isinstance(event, JettisonEvent):
            draft.dropped += [x for x in event.elements if x not in draft.burn.beside]
        elif isinstance(event, CoastEvent):
            wait += event.duration or 0.0
    yield draft


def _pause(scenario: Scenario, below: BurnEvent, burn: BurnEvent) -> float:
    """Return the time [s] from the burn-out of one stage to the ignition of the next."""
    stated = scenario.elements[below.element].separation_coast
    pause = scenario.climb.separation_coast if stated is None else stated
    _, engine = main_engine(scenario.elements[burn.element], burn.engine)
    return pause + (scenario.climb.settling_time if engine.settling_required else 0.0)


def _booster(state: State, name: str) -> Booster:
    _, engine = main_engine(state.scenario.elements[name])
    usable = state.ledger.usable(name, engine)
    mass = state.mass((name,)) - usable
    bodies, area = state.scenario.elements[name].bodies, _drag_area(state, (name,))
    return Booster(name, _motor(engine), usable, mass, area, bodies)


def _drag_area(state: State, names: Sequence[str]) -> float:
    """Return the drag area [m2] of elements as they tumble down, empty.

    The mean area of a convex body over all attitudes is a quarter of its surface (Cauchy 1832).
    """
    scenario, total = state.scenario, 0.0
    for name in names:
        element = scenario.elements[name]
        if element.ballistic_coefficient is not None:
            used = state.ledger.propellant(name)
            total += (state.mass((name,)) - used) / element.ballistic_coefficient
        elif element.inside not in names:
            wide, long = element.diameter, layout.of(element).length
            surface = pi * wide * long + pi / 2.0 * wide**2
            total += element.bodies * scenario.climb.falls.drag_coefficient * surface / 4.0
    return total


def _motor(engine: Engine) -> Motor:
    at_sea_level = thrust_at_sea_level(engine)
    if engine.thrust_sea_level is None and engine.isp_sea_level:
        at_sea_level = thrust(engine) * engine.isp_sea_level / engine.isp_vacuum
    return Motor(
        engine.count,
        thrust(engine),
        at_sea_level,
        engine.isp_vacuum,
        engine.build_up,
        engine.throttle_min or 1.0,
    )


def together(elements: Sequence[str]) -> str:
    """Return the name under which elements are jettisoned as one."""
    return " and ".join(elements)


class Kept(NamedTuple):
    """When something was jettisoned [s since lift-off], and the mass that was kept [kg]."""

    t: float
    mass: float


def cast_off(state: State, event: JettisonEvent) -> Kept | None:
    """Return when a jettison took place, if that was while a stage of the climb burned.

    Only what is dropped at a stated time, and boosters, go before the burn is over.
    """
    if state.launched is None:
        return None
    names = {together(event.elements)} if event.at is not None else set(event.elements)
    went = [x for x in state.climb.track.events if x.what == "jettisoned" and x.name in names]
    if not went or went[-1].t >= state.elapsed:
        return None
    weighed = state.mass(event.elements)
    return Kept(went[-1].t, went[-1].mass - weighed)


def cast_off_during(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> tuple[CastOff, ...]:
    """Return what goes while a stage burns, `state` being the one at its end.

    Boosters that are empty, and what the jettisons listed after it drop at a stated time.
    """
    if burn.leg != "climb" or state.launched is None:
        return ()
    own = takewhile(lambda event: event.do != "burn", ahead)
    timed = [x.elements for x in own if isinstance(x, JettisonEvent) and x.at is not None]
    named = {together(x): x for x in [*timed, *((name,) for name in burn.beside)]}
    return tuple(
        CastOff(mark.t, named[mark.name], mark.mass - state.mass(named[mark.name]))
        for mark in state.climb.track.events
        if mark.what == "jettisoned" and mark.name in named and mark.t <= state.elapsed
    )
