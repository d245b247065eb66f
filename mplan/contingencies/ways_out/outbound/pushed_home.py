"""One burn of a way home from the way to the Moon: by which engine, pushing what, flown out.

A burn near a body takes time in which gravity turns its path. Where that costs more than a trifle
(the impulse times (w T)^2 / 24, w^2 = mu / r^3: Robbins 1966, AIAA J. 4, 1417-1423), it is flown
out with the thrust and mass there, its direction held; what then still lacks of the entry is the
least correction at its end, and counted as its loss.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import sqrt
from typing import NamedTuple

import numpy as np

from mplan.contingencies.ways_out.at_the_moon.leaving import dropped_before
from mplan.contingencies.ways_out.burners import (
    Burner,
    burned,
    burners,
    uncontrolled,
    unqualified,
)
from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.flight.state import Craft, State
from mplan.physics import constants as c
from mplan.physics.arcs import nbody, thrust_arc
from mplan.physics.circumlunar.coast_past import CorrectionHome, least_correction
from mplan.physics.rocket import burn_time, propellant
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import length
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.evolved import evolved
from mplan.vehicle.stack import crew_module

TRIFLE = 0.5  # m/s
NEXT_TO_NOTHING = 5.0  # m/s: an engine that gives less is not told of (our choice)
SHIP = ("service module", "crew module")


class Pushing(NamedTuple):
    """An engine, and the `kept` elements that it pushes home, in a state with nothing else."""

    burner: Burner
    kept: Craft
    state: State

    @property
    def available(self) -> float:
        """What its tanks give what it pushes [m/s]."""
        return self.burner.available(self.state, self.kept)

    @property
    def main(self) -> bool:
        """Whether it is a main engine, none of the thrusters."""
        return self.burner.rated(self.state).purpose == "main"

    @property
    def mass(self) -> float:
        """What it pushes weighs [kg]."""
        return self.state.mass(self.kept)

    def lasts(self, delta_v: float) -> float:
        """Return how long it burns [s] for a velocity [m/s]."""
        drawn = propellant(self.burner.isp, self.mass, delta_v)
        return burn_time(self.burner.thrust, self.burner.isp, drawn)


class PushedBurn(NamedTuple):
    """A burn at `t` [TDB s], its middle: what it takes [m/s], how long [s], where it leads."""

    t: float
    required: float
    duration: float
    after: nbody.ArcStart
    interface: nbody.Arrival


def pushing(way: OnTheWay) -> Iterator[tuple[Pushing, Pushing]]:
    """Yield each engine that is there, pushing as little as it may and as much as is joined."""
    for burner in burners(way.state, way.craft, way.lost):
        whole = tuple(x for x in way.craft if x not in burner.first)
        if crew_module(way.flight.scenario) in whole:
            light = lightest(way, burner)
            yield with_pushed(way, burner, light), with_pushed(way, burner, whole)


def worth_telling(way: OnTheWay) -> Iterator[tuple[Pushing, Pushing]]:
    """Yield what `pushing` does, but for engines that have next to nothing left."""
    for light, whole in pushing(way):
        if light.available > NEXT_TO_NOTHING:
            yield light, whole


def lightest(way: OnTheWay, burner: Burner) -> Craft:
    """Return what an engine pushes at least: the ship that comes home, and what stands between."""
    home = crew_module(way.flight.scenario)
    line = inertia.in_line(way.craft, way.state.scenario)
    ends = [line.index(burner.element), line.index(home)]
    kept = {*line[min(ends) : max(ends) + 1], *needed(way)} - set(burner.first)
    return tuple(x for x in way.craft if x in kept)


def needed(way: OnTheWay) -> frozenset[str]:
    """Return what the crew come home in: the cabin, and what is with it at the plan's last burn."""
    home = crew_module(way.flight.scenario)
    last = [x.craft for x in way.flight.burns if home in x.craft and x.leg != "climb"]
    elements = way.flight.scenario.elements
    ship = set(last[-1]) if last else {x for x in way.craft if elements[x].role in SHIP}
    return frozenset({home} | (ship & set(way.craft)))


def with_pushed(way: OnTheWay, burner: Burner, kept: Craft) -> Pushing:
    """Return an engine pushing some elements of a craft, the rest of which is gone."""
    others = tuple(x for x in way.state.craft if x != way.craft)
    return Pushing(burner, kept, evolved(way.state, craft=(kept, *others)))


def loss_about(here: nbody.Arrival, size: float, duration: float) -> float:
    """Return about what a burn loses by taking time [m/s], near Earth or the Moon: Robbins 1966."""
    near = ((c.MU_EARTH, length(here.r)), (c.MU_MOON, length(here.lunar_r)))
    rate = max(sqrt(mu / radius**3) for mu, radius in near)
    return size * (rate * duration) ** 2 / 24.0


def flown(
    way: OnTheWay, pushes: Pushing, here: nbody.Arrival, home: CorrectionHome, angle: float
) -> PushedBurn:
    """Return the burn of a way home as the engine makes it, about the time of its impulse.

    One for which there is too little to burn is left an impulse. NoArc where the thrust is too low.
    """
    size, duration = home.delta_v, pushes.lasts(home.delta_v)
    after = nbody.ArcStart(here.r, here.v + home.burn, here.t, 0.0)
    if size > pushes.available or loss_about(here, size, duration) < TRIFLE:
        return PushedBurn(here.t, size, duration, after, home.interface)
    begin = here.t - duration / 2.0
    if begin < way.now.t:
        raise NoArc(f"it burns {duration:,.0f} s, too long for one burn there")
    at = way.after(begin - way.now.t)
    try:
        there = _pushed(pushes, at, duration, thrust_arc.steady(home.burn))
        more = least_correction(there, np.zeros(3), angle)
    except ArithmeticError as problem:
        raise NoArc(f"flown out, {problem}") from problem
    after = there._replace(v=there.v + more.burn)
    return PushedBurn(here.t, size + more.delta_v, duration, after, more.interface)


def burned_on(
    way: OnTheWay, pushes: Pushing, here: nbody.Arrival, size: float, steering: thrust_arc.Steering
) -> OnTheWay:
    """Return what a burn of a `size` [m/s] leaves that begins `here`, flown out as steered.

    What stands before the nozzles has gone. ArithmeticError where it meets the ground.
    """
    lasts = pushes.lasts(size)
    now = _pushed(pushes, here, lasts, steering)
    drawn = propellant(pushes.burner.isp, pushes.mass, size)
    after = burned(pushes.state, pushes.kept, pushes.burner, drawn, lasts)
    return replace(way, state=after.later(now.t - after.t), now=now)


def _pushed(
    pushes: Pushing, at: nbody.Arrival, duration: float, steering: thrust_arc.Steering
) -> nbody.ArcStart:
    """Return where a burn of a `duration` [s] ends that begins `at` a place."""
    end = thrust_arc.fly_thrust(
        at.r,
        at.v,
        at.t,
        duration,
        thrust=pushes.burner.thrust,
        isp=pushes.burner.isp,
        mass=pushes.mass,
        steering=steering,
    )
    return nbody.ArcStart(end.r, end.v, end.t, 0.0)


def barred(way: OnTheWay, pushes: Pushing, burns: Sequence[PushedBurn]) -> str:
    """Return why an engine cannot make the burns of a way, "" where it can."""
    required, there = sum(burn.required for burn in burns), pushes.available
    if required > there:
        return f"it takes {required:,.1f} m/s, and its tanks give {there:,.1f} m/s"
    if burns[0].t - burns[0].duration / 2.0 < way.now.t:
        return f"it burns {burns[0].duration:,.0f} s, too long for one burn there"
    wrong = uncontrolled(way.flight, pushes.state, pushes.kept, pushes.burner)
    seconds = sum(burn.duration for burn in burns)
    return (
        wrong
        or unqualified(pushes.state, pushes.burner, seconds, len(burns))
        or _too_late(way, pushes.burner.element, burns[-1])
    )


def _too_late(way: OnTheWay, element: str, burn: PushedBurn) -> str:
    """Return that a burn comes after the plan has dropped the element that makes it; else "".

    How long its propellant, power and guidance would last beyond that nobody has worked out.
    """
    with_it = [x.after.elapsed for x in way.flight.passages if x.before.joined(element)]
    until = max(with_it, default=0.0)
    if burn.t - way.state.lift_off <= until:
        return ""
    return f"the plan has the {plain(element)} for {until / c.HOUR:.1f} h, and it burns later"


def left_behind(way: OnTheWay, kept: Craft) -> str:
    """Return in words what is dropped before a burn, and after it."""
    after = [plain(x) for x in kept if x not in needed(way)]
    told = (
        dropped_before(way.craft, kept),
        f"{', '.join(after)} kept until the entry is near" if after else "",
    )
    return "; ".join(x for x in told if x)
