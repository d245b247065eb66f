"""Home from a lunar orbit as it then stands: by each engine that is there, on an integrated arc.

The burn is at the best place of a revolution, for the time of flight of the plan; where an engine
has not enough for that, for the one that takes least. It is flown out with the thrust and mass
there. What an engine's nozzles point at, and what is not needed at home, is dropped first.
Crew safety rests on this: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import inf

import numpy as np

from mplan.contingencies.ways_out.burners import (
    NOTHING,
    Burner,
    LostEngines,
    burners,
    uncontrolled,
    unqualified,
)
from mplan.contingencies.ways_out.coming_down import comes_down
from mplan.contingencies.ways_out.way_out import WayBurn, WayOut
from mplan.flight.homeward import departure, goal
from mplan.flight.record import Flight
from mplan.flight.state import Arc, Craft, State
from mplan.physics import constants as c
from mplan.physics.arcs import homeward, recovery
from mplan.physics.arcs.homeward import Homeward
from mplan.physics.arcs.lunar_orbit import LunarOrbit, OrbitKey, coast, key_of
from mplan.physics.arcs.recovery import Goal
from mplan.physics.burns import aimed_burn
from mplan.physics.burns.finite_burn import FiniteBurn
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.evolved import evolved
from mplan.vehicle.same import Same
from mplan.vehicle.stack import crew_module

READY = 30.0 * c.MINUTE  # from the call to the burn: to aim and turn (common practice, no source)
TIMES = tuple(hours * c.HOUR for hours in range(42, 139, 12))  # s home that are looked at
TOO_LITTLE = 0.1  # of what a return takes: an engine that has less is not told of
HOPELESS = 1.25  # of what is there: what joined conics take more for is not flown
COARSE = 50.0  # kg, to which the mass of a burn's loss is rounded: a hundredth of the loss


@dataclass(frozen=True)
class Leaving:
    """A craft about to leave the Moon: its state and what is joined, not `ready` before [TDB s].

    `orbit` is where its revolutions are counted from; `stores` a state that tells what the crew
    module weighs at home; `called` [s since lift-off] when the way out begins.
    """

    flight: Flight
    state: State
    craft: Craft
    orbit: LunarOrbit
    stores: State
    called: float
    lost: LostEngines = NOTHING

    @property
    def ready(self) -> float:
        """When a burn can be made at the earliest [TDB s]."""
        return self.state.t + READY

    @property
    def crew(self) -> int:
        """How many people go home in it."""
        return sum(self.state.crew.get(x, 0) for x in self.craft)


def ways_home(leaving: Leaving) -> Iterator[WayOut]:
    """Yield a way home by each engine of the craft that is not lost, open or closed.

    One with next to nothing left is not told of.
    """
    for burner in burners(leaving.state, leaving.craft, leaving.lost):
        found = _by(leaving, burner)
        if not found.burns or found.burns[0].available > TOO_LITTLE * found.required:
            yield found


def _by(leaving: Leaving, burner: Burner) -> WayOut:
    name = f"return to Earth by {burner.title}"
    kept = kept_with(leaving, burner)
    if not kept:
        why = "its nozzles point at what the crew come home in"
        return WayOut(name, leaving.called, leaving.craft, closed=why)
    state = _boarded(leaving, kept)
    there = burner.available(state, kept)
    home = best_return(leaving, there)
    if home is None:
        return WayOut(name, leaving.called, kept, closed="no arc leads home from this orbit")
    return _flown(leaving, burner, state, kept, home, name)


def _flown(
    leaving: Leaving, burner: Burner, state: State, kept: Craft, home: Homeward, name: str
) -> WayOut:
    """Return the way home by one burn of an engine."""
    mass, there = state.mass(kept), burner.available(state, kept)
    burn = flown_out(Same(home), burner.thrust, burner.isp, COARSE * round(mass / COARSE))
    spent = home.delta_v if isinstance(burn, str) else burn.delta_v
    at = home.t - state.lift_off
    burns = (WayBurn("return burn", *burner.key, at, spent, there),)
    down = comes_down(leaving.stores, home.interface, leaving.crew)
    return WayOut(
        name=name,
        called=leaving.called,
        craft=kept,
        burns=burns,
        home=down.t - state.lift_off,
        lands=down.place,
        closed=_barred(leaving, burner, state, kept, burn, spent) or down.closed,
        note="; ".join(x for x in (_dropped(leaving, kept, burner), down.note) if x),
        estimate=down.estimate,
        arcs=(Arc(home.r, home.v, home.t, home.interface.t),),
    )


def _barred(
    leaving: Leaving,
    burner: Burner,
    state: State,
    kept: Craft,
    burn: FiniteBurn | str,
    spent: float,
) -> str:
    """Return why an engine cannot make a burn, "" where it can."""
    there = burner.available(state, kept)
    if spent > there:
        return f"it takes {spent:.0f} m/s, and its tanks give {there:.0f} m/s"
    if isinstance(burn, str):
        return burn
    wrong = uncontrolled(leaving.flight, state, kept, burner)
    return wrong or unqualified(state, burner, burn.duration, 1)


def _dropped(leaving: Leaving, kept: Craft, burner: Burner) -> str:
    """Return in words what is left behind, before the burn and after it."""
    gone = [plain(x) for x in leaving.craft if x not in kept]
    before = f"{' and '.join(gone)} dropped before" if gone else ""
    extra = [plain(x) for x in kept if x not in needed(leaving)]
    after = f"{' and '.join(extra)} dropped after the burn" if extra else ""
    return "; ".join(x for x in (before, after) if x)


def needed(leaving: Leaving) -> frozenset[str]:
    """Return what the crew come home in: what makes the return burn in the plan, and its cabin."""
    burn = leaving.flight.burn_of("trans-Earth injection")
    home = {crew_module(leaving.flight.scenario)}
    return frozenset(home | (set(burn.craft) & set(leaving.craft) if burn else set()))


def kept_with(leaving: Leaving, burner: Burner) -> Craft:
    """Return what an engine pushes home: what is needed there, and what stands between; () if none.

    What its nozzles point at is dropped; where that is the cabin it leads nowhere.
    """
    line = inertia.in_line(leaving.craft, leaving.state.scenario)
    ends = [line.index(burner.element), line.index(crew_module(leaving.state.scenario))]
    between = line[min(ends) : max(ends) + 1]
    if crew_module(leaving.state.scenario) in burner.first:
        return ()
    kept = {*between, *needed(leaving)} - set(burner.first)
    return tuple(x for x in leaving.craft if x in kept)


def _boarded(leaving: Leaving, kept: Craft) -> State:
    """Return the state with all of the craft's crew in the cabin, and nothing joined but `kept`."""
    others = tuple(x for x in leaving.state.craft if x != leaving.craft)
    crew = {x: n for x, n in leaving.state.crew.items() if x not in leaving.craft}
    crew[crew_module(leaving.state.scenario)] = leaving.crew
    return evolved(leaving.state, craft=(kept, *others), crew=crew)


def best_return(leaving: Leaving, there: float) -> Homeward | None:
    """Return the way home for the plan's time of flight, or the one that takes least.

    That where the first takes more than is `there` [m/s]. None where no arc was found.
    """
    planned = leaving.flight.scenario.dates.transearth_time or TIMES[len(TIMES) // 2]
    first = None
    if guess_for(leaving, planned) < HOPELESS * there:
        first = next_return(leaving, planned)
    if first is not None and first.delta_v <= there:
        return first
    least = next_return(leaving, cheapest_time(leaving))
    found = [each for each in (first, least) if each is not None]
    return min(found, key=lambda each: each.delta_v, default=None)


def next_return(leaving: Leaving, duration: float) -> Homeward | None:
    """Return the best way home in a time of flight [s] of the first revolution that is left.

    A revolution is targeted once, and remembered: what is called off within it leaves as one.
    """
    scenario, orbit = leaving.flight.scenario, leaving.orbit
    period = orbit.period
    turn = max(0, int((leaving.ready - orbit.t) / period))
    area = None if scenario.recovery is None else goal(scenario)
    for each in (turn, turn + 1):
        begin = key_of(coast(orbit, each * period))
        found = _homed(begin, area, duration, scenario.orbits.entry_angle)
        if found is not None and found.t >= leaving.ready:
            return found
    return None


@lru_cache(maxsize=1024)
def _homed(key: OrbitKey, area: Goal | None, duration: float, angle: float) -> Homeward | None:
    """Return the way home from an orbit, to an area if there is one that is reached; or None."""
    try:
        if area is not None:
            return recovery.target_recovery(
                key.orbit, goal=area, time_of_flight=duration, entry_angle=angle
            )
        return homeward.target_return(key.orbit, time_of_flight=duration, entry_angle=angle)
    except ArithmeticError:
        return None


def cheapest_time(leaving: Leaving) -> float:
    """Return the time of flight [s] of the cheapest joined conics home from the orbit."""
    orbit = leaving.orbit
    turn = max(0, int((leaving.ready - orbit.t) / orbit.period))
    costs = guessed(key_of(coast(orbit, turn * orbit.period)), _angle(leaving))
    return min(costs, key=lambda each: each[1])[0]


def guess_for(leaving: Leaving, duration: float) -> float:
    """Return what joined conics take [m/s] for one time of flight [s]; inf where there are none."""
    orbit = leaving.orbit
    turn = max(0, int((leaving.ready - orbit.t) / orbit.period))
    return dict(guessed(key_of(coast(orbit, turn * orbit.period)), _angle(leaving), duration)).get(
        duration, inf
    )


def _angle(leaving: Leaving) -> float:
    return leaving.flight.scenario.orbits.entry_angle


@lru_cache(maxsize=1024)
def guessed(
    key: OrbitKey, angle: float, only: float | None = None
) -> tuple[tuple[float, float], ...]:
    """Return times of flight [s] and what joined conics take [m/s], a first guess only."""
    found = []
    for duration in TIMES if only is None else (only,):
        try:
            _, burn = homeward.guess_return(key.orbit, duration, angle)
        except ArithmeticError:
            continue
        found.append((duration, float(np.linalg.norm(burn))))
    return tuple(found) or ((TIMES[-1], inf),)


@lru_cache(maxsize=1024)
def flown_out(home: Same[Homeward], thrust: float, isp: float, mass: float) -> FiniteBurn | str:
    """Return the return burn flown out, or why it cannot be: a thrust too low for one arc."""
    to = departure(home)
    try:
        return aimed_burn.fly_aimed(
            to.r, to.v, to.wanted, to.mu, thrust=thrust, isp=isp, mass=max(mass, COARSE)
        )
    except ArithmeticError as problem:
        return str(problem)
