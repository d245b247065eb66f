"""The mission as phases in which one control unit steers one craft, replayed from its flight."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from mplan.checks import replay
from mplan.checks.replay import Replay
from mplan.flight.record import BurnRecord, Flight, Moment
from mplan.flight.state import Craft
from mplan.scenario import Event, Scenario
from mplan.scenario.wording import plain
from mplan.vehicle import inertia, mass
from mplan.vehicle.control import Authority, authority, steering
from mplan.vehicle.inertia import SHIP

SHORTEST = 1.0  # s: a shorter gap between two events is no phase of its own


@dataclass(frozen=True)
class Phase:
    """A stretch of the mission in which one control unit steers one craft; SI, since lift-off.

    `steered_from` is when the mass comes within `capacity`: `begin`, or later in a burn; None if
    it never does, or where no joined element has a unit. `first` and `last` are what turns and
    pushes the craft at the beginning and at the end.
    """

    name: str
    kind: str
    begin: float
    end: float
    craft: Craft
    mass: float  # kg, at its beginning
    mass_at_end: float
    controller: str | None
    capacity: float | None
    steered_from: float | None
    first: Authority
    last: Authority
    powered: bool  # a main engine burns
    docking: bool
    beside: bool = False  # of a craft that waits while the others go on

    @property
    def margin(self) -> float | None:
        """What the unit could steer beyond the heaviest moment [kg]."""
        return None if self.capacity is None else self.capacity - self.mass

    @property
    def pitch(self) -> float | None:
        """The least angular acceleration in pitch and yaw [rad/s2]; None if not worked out."""
        return _least(self.first.pitch, self.last.pitch)

    @property
    def roll(self) -> float | None:
        """The least angular acceleration in roll [rad/s2]; None if not worked out."""
        return _least(self.first.roll, self.last.roll)


def handovers(found: tuple[Phase, ...]) -> tuple[tuple[float, str | None, str | None], ...]:
    """Return when control passes [s since lift-off], from which element, to which.

    As one follows the phases; what waits keeps its own control meanwhile.
    """
    return tuple(
        (after.begin, before.controller, after.controller)
        for before, after in pairwise(phase for phase in found if not phase.beside)
        if after.controller != before.controller
    )


def phases(flight: Flight) -> tuple[Phase, ...]:
    """Return the phases of a mission in flight order, each of the craft that an event happens to.

    What waits while its lander is away has one phase of its own, from parting to docking.
    """
    return tuple(_walked(flight))


@dataclass(frozen=True)
class _Leg:
    name: str
    kind: str
    begin: float
    end: float
    craft: Craft
    steered_by: str | None = None  # as the event names it


def _walked(flight: Flight) -> Iterator[Phase]:
    now = replay.begin(flight.scenario)
    burns, climbed = iter(flight.burns), replay.climb_over(flight)
    for i, (moment, event) in enumerate(replay.paired(flight)):
        if moment.elapsed >= climbed:
            now = now.boiled(moment.elapsed)
        until = flight.moments[min(i + 1, len(flight.moments) - 1)].elapsed
        if moment.kind == "burn":
            burn = next(burns)
            phase, now = _burn(flight, i, burn, event, now)
            yield phase
            yield from _gap(phase, until, now)
        else:
            yield from _unpowered(flight, i, event, until, now)
        if moment.kind == "undock":
            yield _waiting(flight, i, now)
        if event is not None and event.do == "transfer crew":
            now = now.moved(event)
        if event is not None and event.do == "jettison":
            now = now.without(event.elements)


def _unpowered(
    flight: Flight, index: int, event: Event | None, until: float, now: Replay
) -> Iterator[Phase]:
    """Yield the phase that an event other than a burn begins, if the craft is steered in it."""
    moment = flight.moments[index]
    named = event and event.control
    leg = _Leg(moment.event, moment.kind, moment.elapsed, until, moment.craft, named)
    if moment.kind == "lift-off" and flight.burns:
        begin = moment.elapsed
        if flight.end.climb is not None:
            begin = min(begin, flight.end.climb.parts[0].ignition)
        held = replace(leg, name="hold-down", kind="hold-down", begin=begin, end=moment.elapsed)
        lit = flight.burns[0]
        yield _flown(held, moment.mass, now, (lit.element, lit.engine))
    elif _is_steered(moment, now.scenario) and until - moment.elapsed > SHORTEST:
        leg = _mover(leg, event, flight.moments[:index], now.scenario)
        yield _flown(leg, moment.mass if leg.craft == moment.craft else None, now)


def _gap(burn: Phase, until: float, after: Replay) -> Iterator[Phase]:
    """Yield the wait between a burn and the next event, if there is one."""
    if until - burn.end > SHORTEST:
        leg = _Leg(f"after {burn.name}", "coast", burn.end, until, burn.craft)
        yield _flown(leg, burn.mass_at_end, after)


def _waiting(flight: Flight, index: int, now: Replay) -> Phase:
    """Return the phase of what stays behind at an undocking, until something docks to it."""
    moment = flight.moments[index]
    whole = next(m.craft for m in reversed(flight.moments[:index]) if moment.craft[0] in m.craft)
    stays = tuple(name for name in whole if name not in moment.craft)
    joins = (m for m in flight.moments[index + 1 :] if m.kind == "dock" and stays[0] in m.craft)
    until = next(joins, flight.moments[-1]).elapsed
    leg = _Leg(f"waiting in {_said(stays)}", "coast", moment.elapsed, until, stays)
    return replace(_flown(leg, None, now), beside=True)


def _said(craft: Craft) -> str:
    return " and ".join(map(plain, craft))


def _is_steered(moment: Moment, scenario: Scenario) -> bool:
    """Tell whether the craft must be steered then: not on the ground, nor as it is taken apart."""
    if moment.kind == "stay":
        return scenario.mission.landing_crew == 0
    return moment.kind in ("coast", "dock", "undock", "transfer crew", "enter")


def _mover(leg: _Leg, event: Event | None, before: tuple[Moment, ...], scenario: Scenario) -> _Leg:
    """Return a docking as the leg of the craft that moves up, not of what comes of it."""
    if leg.kind != "dock" or event is None:
        return leg
    craft = next((m.craft for m in reversed(before) if event.element in m.craft), leg.craft)
    if event.target in craft:  # it leaves the same stack first, to turn round
        side = scenario.elements[event.element].role in SHIP
        craft = tuple(x for x in craft if (scenario.elements[x].role in SHIP) == side)
    return replace(leg, craft=craft)


def _burn(
    flight: Flight, index: int, burn: BurnRecord, event: Event | None, before: Replay
) -> tuple[Phase, Replay]:
    """Return a burn as a phase, and what is known after it.

    What is cast off while it burns is gone at its end.
    """
    before = before.settled(burn)
    over, named = burn.elapsed + burn.duration, event and event.control
    moment, after = flight.moments[index], before.burned(burn, event)
    leg = _Leg(burn.name, "burn", burn.elapsed, over, moment.craft, named)
    lit = (burn.element, burn.engine)
    first = _flown(leg, burn.mass, before, lit)
    gone = tuple(name for name in replay.cast_off(flight, index, over) if name != burn.element)
    left = replace(leg, craft=tuple(name for name in leg.craft if name not in gone))
    dropped = mass.of(gone, after.scenario, after.tanks, after.crew, {})
    spent = sum(before.tanks.levels.values()) - sum(after.tanks.levels.values())
    end = burn.mass - spent - dropped
    last = _flown(left, end, after, lit)
    powered = before.scenario.elements[burn.element].engines[burn.engine].purpose == "main"
    phase = replace(
        first,
        mass_at_end=end,
        last=last.first,
        steered_from=_within(flight, burn, first, last),
        powered=powered,
    )
    return phase, after


def _within(flight: Flight, burn: BurnRecord, first: Phase, last: Phase) -> float | None:
    """Return when the mass comes within what the unit steers [s]; None if not in this burn.

    In a climb that has been flown, between the points of its track; else the mass falls evenly.
    """
    if first.steered_from is not None or last.steered_from is None:
        return first.steered_from
    if burn.leg == "climb" and flight.end.climb is not None:
        track = flight.end.climb.track
        light = np.flatnonzero((track.t >= burn.elapsed) & (track.mass <= first.capacity))
        i = int(light[0])
        share = (track.mass[i - 1] - first.capacity) / (track.mass[i - 1] - track.mass[i])
        return float(track.t[i - 1] + share * (track.t[i] - track.t[i - 1]))
    return burn.elapsed + burn.duration * (burn.mass - first.capacity) / burn.propellant


def _flown(
    leg: _Leg, weighs: float | None, now: Replay, burning: tuple[str, str] | None = None
) -> Phase:
    """Return a leg as a phase whose mass stays; it is added up where `weighs` is None."""
    scenario = now.scenario
    extra, weighs = replay.extra(leg.craft, weighs, now)
    properties = inertia.of(leg.craft, scenario, now.tanks, extra, now.lengths)
    named = leg.steered_by if leg.steered_by in leg.craft else None
    steers = named or steering(leg.craft, scenario, burning and burning[0])
    turns = authority(leg.craft, scenario, properties, now.lengths, steers, burning)
    capacity = None if steers is None else scenario.elements[steers].control_capacity
    within = capacity is not None and weighs <= capacity
    return Phase(
        name=leg.name,
        kind=leg.kind,
        begin=leg.begin,
        end=leg.end,
        craft=leg.craft,
        mass=weighs,
        mass_at_end=weighs,
        controller=steers,
        capacity=capacity,
        steered_from=leg.begin if within else None,
        first=turns,
        last=turns,
        powered=leg.kind == "hold-down",
        docking=leg.kind == "dock",
    )


def _least(first: float | None, last: float | None) -> float | None:
    return None if first is None or last is None else min(first, last)
