"""Ways out of a lander on its way up: on to the ship, by another engine, or the ship comes down.

While the ascent engine burns, what it has reached by then decides: below a safe orbit thrusters
have to lift the craft on, for its path meets the ground; above it the ship can fetch the crew.
The descent stage is left on the Moon and is no help. Crew safety rests on this: a planning study's
figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from mplan.contingencies import descent_aborts
from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import Leaving, ways_home
from mplan.contingencies.ways_out.at_the_moon.now import state_at
from mplan.contingencies.ways_out.at_the_moon.rejoin import (
    Apart,
    back_to_ship,
    beside_ship,
    lacks,
    spent,
)
from mplan.contingencies.ways_out.at_the_moon.ships_rescue import rescue_of
from mplan.contingencies.ways_out.burners import (
    Burner,
    LostEngines,
    burners,
    given_by,
    unqualified,
)
from mplan.contingencies.ways_out.lost_decides import lost_decides
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import DOCKED, SPLASH, MoonCoast, WayBurn, WayOut
from mplan.flight.descent import site
from mplan.flight.lunar_ascent import plane
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import Craft, State
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.arcs.orbit import Orbit
from mplan.physics.bodies import lunar_axes
from mplan.physics.bodies.lunar_axes import Axes
from mplan.physics.burns.linear_tangent import LunarState, SteadyThrust
from mplan.physics.landing.descent_abort import abort_climb
from mplan.physics.rendezvous.meeting import TERMINAL, Meeting
from mplan.physics.rendezvous.relative import orbit_at
from mplan.vehicle.evolved import evolved

ON = "rendezvous as planned"
FALLS = "it is too slow for any orbit, and the thrust is too low to reach one in time"


@lost_decides
def ways(point: CabinPoint, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out of a cabin between lift-off from the Moon and docking."""
    burn = point.passage.burn
    if burn is not None and burn.leg == "lunar ascent" and point.passage.after.lunar_ascent:
        yield from _climbing(point, burn, lost)
    elif burn is not None and burn.leg == "rendezvous" and point.passage.after.rendezvous:
        yield from _meeting(point, burn, lost, point.passage.after.rendezvous.meeting)
    else:
        state = state_at(point)
        craft = state.joined(point.cabin)
        yield from beside_ship(
            Apart(point.flight, state, craft, state.orbit, state.orbit, point.elapsed, lost)
        )


class _Climb(NamedTuple):
    """An ascent stopped at a place of its track: its state, still axes, and what is left."""

    point: CabinPoint
    burn: BurnRecord
    lost: LostEngines
    axes: Axes
    still: LunarState
    state: State

    @property
    def flight(self) -> Flight:
        return self.point.flight

    @property
    def t(self) -> float:
        return self.flight.end.lift_off + self.point.elapsed

    @property
    def craft(self) -> tuple[str, ...]:
        return self.burn.craft

    def orbit(self, still: LunarState, later: float = 0.0) -> LunarOrbit:
        """Return the orbit of a state in still axes, `later` [s] than the stop."""
        r, v = self.axes.icrf(still)
        return self.state.orbit._replace(t=self.t + later, r=r, v=v)


def _climbing(point: CabinPoint, burn: BurnRecord, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the ways out while the ascent burns."""
    if (burn.element, burn.engine) not in lost.gone:
        yield from _up_as_planned(point, burn, lost)
        return
    stopped = _stopped(point, burn, lost)
    for burner in burners(stopped.state, stopped.craft, lost):
        yield _lifted_on(stopped, burner)
    if point.flight.end.rendezvous is not None:
        here = stopped.orbit(stopped.still)
        ship = stopped.state.orbit
        yield rescue_of(point.flight, here, ship, stopped.craft, point.elapsed)


def _stopped(point: CabinPoint, burn: BurnRecord, lost: LostEngines) -> _Climb:
    """Return the ascent as it is when its engine stops now."""
    at, flown = burn.at_ignition, point.passage.after.lunar_ascent
    assert flown is not None
    track, since = flown.track, point.elapsed - burn.elapsed
    i = int(np.clip(np.searchsorted(track.t, since, side="right") - 1, 0, len(track.t) - 1))
    meets = point.flight.end.rendezvous is not None
    axes = plane(at) if meets else lunar_axes.site_axes(site(at), at.orbit.normal, at.t)
    engine = at.scenario.elements[burn.element].engines[burn.engine]
    drawn = min(max(0.0, burn.mass - float(track.mass[i])), burn.usable)
    ledger = at.ledger.after_burn(burn.element, burn.engine, engine, drawn, since)
    state = evolved(at.later(since), ledger=ledger)
    x, y, z = track.place[i].tolist()
    u, v, w = track.velocity[i].tolist()
    return _Climb(point, burn, lost, axes, (x, y, z, u, v, w), state)


def _lifted_on(stopped: _Climb, burner: Burner) -> WayOut:
    """Return the way on by another engine of the craft, to the ship or home."""
    point, flight = stopped.point, stopped.flight
    name = f"ascent to orbit by {burner.title}"
    push = SteadyThrust(burner.thrust, burner.isp, stopped.state.mass(stopped.craft))
    flown = abort_climb(stopped.still, push, 0.0, descent_aborts.safe(flight))
    there = burner.available(stopped.state, stopped.craft)
    ends = SPLASH if flight.end.rendezvous is None else DOCKED
    shut = WayOut(name, point.elapsed, stopped.craft, ends=ends)
    if flown is None:
        return replace(shut, closed=FALLS)
    burn = WayBurn("ascent to orbit", *burner.key, point.elapsed, flown.delta_v, there)
    if burn.margin < 0.0:
        return replace(shut, burns=(burn,), closed=lacks(burn))
    orbit = stopped.orbit(flown.end, flown.duration)
    state = spent(stopped.state, stopped.craft, burner, flown.delta_v).later(flown.duration)
    burns = (burn,) if flown.delta_v else ()
    if flight.end.rendezvous is None:
        leaving = Leaving(
            flight, state, stopped.craft, orbit, point.before, point.elapsed, stopped.lost
        )
        home = min(ways_home(leaving), key=lambda x: bool(x.closed), default=None)
        if home is None:
            return replace(shut, closed="in orbit, with no way home from there")
        return replace(home, name=f"{name}, then {home.name}", burns=(*burns, *home.burns))
    apart = Apart(
        flight,
        state,
        stopped.craft,
        orbit,
        state.orbit,
        point.elapsed,
        stopped.lost,
        burns,
        level=bool(flown.delta_v),
    )
    return back_to_ship(apart, f"{name}, then rendezvous", burner)


def _up_as_planned(point: CabinPoint, burn: BurnRecord, lost: LostEngines) -> Iterator[WayOut]:
    """Yield the way on up: on the way the ship is nearer than the ground."""
    flight, flown = point.flight, point.passage.after.lunar_ascent
    assert flown is not None
    done = given_by(burn, point.elapsed)
    key = burn.element, burn.engine
    rest = WayBurn("ascent", *key, point.elapsed, burn.required - done, burn.available - done)
    met, rendezvous = flight.burn_of("rendezvous"), flight.end.rendezvous
    if met is not None and rendezvous is not None:
        then = WayBurn(
            "rendezvous", met.element, met.engine, met.elapsed, met.required, met.available
        )
        docked = rendezvous.meeting.docked - flight.end.lift_off
        orbits = _planned_orbits(rendezvous.meeting, burn.craft)
        yield WayOut(ON, point.elapsed, burn.craft, (rest, then), DOCKED, docked, orbits=orbits)
        return
    risen = point.passage.after
    craft = risen.joined(point.cabin)
    leaving = Leaving(flight, risen, craft, risen.orbit, point.before, point.elapsed, lost)
    for way in ways_home(leaving):
        yield replace(way, name=f"ascent to orbit, then {way.name}", burns=(rest, *way.burns))


def _meeting(
    point: CabinPoint, burn: BurnRecord, lost: LostEngines, meeting: Meeting
) -> Iterator[WayOut]:
    """Yield the ways out between insertion and docking."""
    flight, t = point.flight, point.flight.end.lift_off + point.elapsed
    made = [x for x in meeting.steps if x.t <= t]
    ahead = [x for x in meeting.steps if x.t > t]
    here = orbit_at(made[-1].after if made else meeting.active, t)
    settings = flight.scenario.rendezvous
    needs = sum(x.size for x in ahead) + settings.midcourse + settings.docking
    begins = (ahead[0].t if ahead else t) - flight.end.lift_off
    state = state_at(point)
    craft, done = state.joined(point.cabin), sum(x.size for x in made)
    key = burn.element, burn.engine
    own = next((x for x in burners(state, craft) if x.key == key), None)
    after = spent(state, craft, own, done) if own else state
    docked = meeting.docked - flight.end.lift_off
    for burner in sorted(burners(after, craft, lost), key=lambda x: x.key != key):
        planned = burner.key == key
        what = WayBurn("rendezvous", *burner.key, begins, needs, burner.available(after, craft))
        wrong = lacks(what) if what.margin < 0.0 else unqualified(after, burner, 0.0, len(ahead))
        name = ON if planned else f"rendezvous by {burner.title}"
        note = "" if planned else "it brakes too, and its thrust may be too high for that"
        yield WayOut(
            name=name,
            called=point.elapsed,
            craft=craft,
            burns=(what,),
            ends=DOCKED,
            home=docked,
            closed=wrong,
            note=note,
            orbits=_planned_orbits(meeting, craft, here),
        )
    if any(x.name == TERMINAL for x in made):
        yield _ship_brakes(point, burn, lost, after, needs, begins, docked)
    if isinstance(here, LunarOrbit):
        ship = orbit_at(meeting.target, t)
        assert isinstance(ship, LunarOrbit)
        yield rescue_of(flight, here, ship, craft, point.elapsed)


def _planned_orbits(
    meeting: Meeting, craft: Craft, here: Orbit | None = None
) -> tuple[MoonCoast, ...]:
    """Return the orbits of ship and lander in the plan's rendezvous, the lander's as it is here."""
    ship, lander = meeting.target, here or meeting.active
    named = (("the ship's orbit", ship, ()), ("the lander's orbit", lander, craft))
    return tuple(MoonCoast(what, x, by) for what, x, by in named if isinstance(x, LunarOrbit))


def _ship_brakes(
    point: CabinPoint,
    burn: BurnRecord,
    lost: LostEngines,
    state: State,
    needs: float,
    begins: float,
    docked: float,
) -> WayOut:
    """Return the way in which the ship makes what burns are left, mirrored, and goes back after.

    In the terminal phase the two would meet anyway: either of them may brake.
    """
    rendezvous = point.flight.end.rendezvous
    assert rendezvous is not None
    ship = state.joined(rendezvous.host.element)
    shut = WayOut(
        "braking by the ship",
        point.elapsed,
        ship,
        ends=DOCKED,
        home=docked,
        note="propellant for the return is kept",
        orbits=_planned_orbits(rendezvous.meeting, state.joined(point.cabin)),
        estimate="the ship's return to its circle: as much as it brakes",
    )
    found = list(burners(state, ship, lost))
    by = next((x for x in found if x.rated(state).purpose == "thrusters"), None)
    if by is None:
        return replace(shut, closed="the ship has no thrusters left")
    home = point.flight.burn_of("trans-Earth injection")
    kept = home.required if home is not None and home.element == by.element else 0.0
    there = by.available(state, ship) - kept
    braking = WayBurn("braking", *by.key, begins, 2.0 * needs, there)
    return replace(shut, burns=(braking,), closed=lacks(braking) if braking.margin < 0.0 else "")
