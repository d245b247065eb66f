"""Where a cabin on its way to the Moon is, and what its tanks hold, at any time.

While a burn is on, what it has done so far is integrated: thrust, mass and gravity together. What
lies ahead is flown from there, with nothing burning.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import hypot

from mplan.contingencies.ways_out.at_the_moon.leaving import READY
from mplan.contingencies.ways_out.at_the_moon.now import state_at
from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import Craft, State, existing
from mplan.physics import constants as c
from mplan.physics.arcs import nbody, thrust_arc
from mplan.physics.arcs.orbit import EarthOrbit, Orbit
from mplan.physics.arcs.thrust_arc import Steering, ThrustArc
from mplan.physics.bodies import ephemeris
from mplan.physics.burns.aimed_burn import velocity_in_plane
from mplan.physics.rendezvous.relative import orbit_at
from mplan.physics.rocket import mass_flow
from mplan.physics.vectors import cross, length, unit
from mplan.scenario import Engine
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import thrust
from mplan.vehicle.same import Same

INJECTION, INSERTION = "translunar injection", "lunar-orbit insertion"
FOR_DAYS = 15 * c.DAY  # s, for which an arc is followed: as long as either integrator flies


@dataclass(frozen=True)
class OnTheWay:
    """A cabin's craft between Earth and Moon: its state, and how it moves [m, m/s] at `t` [TDB s].

    `stores` tells what the crew module weighs at home; `lost` what burns no more.
    """

    flight: Flight
    cabin: str
    state: State
    stores: State
    now: nbody.ArcStart
    lost: LostEngines

    @property
    def craft(self) -> Craft:
        """What the cabin is joined to."""
        return self.state.joined(self.cabin)

    @property
    def called(self) -> float:
        """When the way out begins [s since lift-off]."""
        return self.state.elapsed

    @property
    def crew(self) -> int:
        """How many people go home in it."""
        return sum(self.state.crew.get(x, 0) for x in self.craft)

    @property
    def entry_angle(self) -> float:
        """The angle that a return is aimed for [rad]."""
        return self.flight.scenario.orbits.entry_angle

    @cached_property
    def ready(self) -> nbody.Arrival:
        """Where it is once a burn can be made; ArithmeticError where it meets the ground before."""
        return self.after(READY)

    @cached_property
    def perilune(self) -> nbody.Arrival | None:
        """The next closest approach to the Moon with nothing burning; None where there is none."""
        now = self.now
        end = nbody.fly_arc(now.r, now.v, now.t, FOR_DAYS, "perilune")
        return end if end.stop == "perilune" and length(end.lunar_r) < NEAR_MOON else None

    def after(self, wait: float) -> nbody.Arrival:
        """Return where it is after a `wait` [s] with nothing burning."""
        now = self.now
        return nbody.fly_arc(now.r, now.v, now.t, wait)


NEAR_MOON = 6.6e7  # m, the radius within which the Moon decides (Battin 1999, ch. 8)


def on_the_way(point: CabinPoint, lost: LostEngines) -> OnTheWay:
    """Return where a cabin to the Moon is, what burns then being cut off."""
    state, now = _now(Same(point.flight), point.cabin, point.elapsed)
    return OnTheWay(point.flight, point.cabin, state, point.before, now, lost)


@lru_cache(maxsize=256)  # asked for by each failure at one time
def _now(of: Same[Flight], cabin: str, elapsed: float) -> tuple[State, nbody.ArcStart]:
    point = CabinPoint(of.it, cabin, elapsed)
    burn = point.burning
    if burn is not None and burn.leg == INJECTION:
        return _stopped(of.it, burn, elapsed, _parked(of.it, burn), thrust_arc.along_velocity(1.0))
    if burn is not None and burn.leg == INSERTION:
        coast = _coasting(of.it, burn.elapsed)
        return _stopped(of.it, burn, elapsed, coast, _into_orbit(of.it, burn), about="Moon")
    if point.stretch == "Earth orbit":
        return state_at(point), in_earth_orbit(of.it, of.it.end.lift_off + elapsed)
    return state_at(point), _coasting(of.it, elapsed)


def in_earth_orbit(flight: Flight, t: float) -> nbody.ArcStart:
    """Return how a craft moves round Earth at `t` [TDB s]: alone, on its way to a ship, or joined.

    On the way to a ship as in two bodies, which is 40 km off after a revolution.
    """
    end = flight.end
    if end.second is not None:
        if t < end.second.begins:
            return _of_orbit(end.second.chaser.at(t))
        for meeting, _ in end.met:
            if isinstance(meeting.active, EarthOrbit) and meeting.active.t <= t < meeting.docked:
                flown = [meeting.active, *(step.after for step in meeting.steps)]
                return _of_orbit(orbit_at([x for x in flown if x.t <= t][-1], t))
        if end.departing is None:
            return _of_orbit(end.second.target.at(t))
    out = end.outbound
    return nbody.ArcStart(*out.parking.state(out.lift_off, t - out.insertion), t, 0.0)


def _of_orbit(orbit: Orbit) -> nbody.ArcStart:
    return nbody.ArcStart(orbit.r, orbit.v, orbit.t, 0.0)


def _coasting(flight: Flight, elapsed: float) -> nbody.ArcStart:
    """Return how the craft moves on the arc of the plan."""
    t = flight.end.lift_off + elapsed
    arcs = flight.end.translunar_arcs
    arc = next((x for x in reversed(arcs) if x.begin <= t), arcs[0])
    there = nbody.fly_arc(arc.r, arc.v, arc.begin, t - arc.begin)
    return nbody.ArcStart(there.r, there.v, t, 0.0)


def _parked(flight: Flight, burn: BurnRecord) -> nbody.ArcStart:
    """Return how the craft moves round Earth as its injection is lit."""
    return in_earth_orbit(flight, flight.end.lift_off + burn.elapsed)


def _into_orbit(flight: Flight, burn: BurnRecord) -> Steering:
    """Return the steering of an insertion: at the angle to the velocity that its impulse has.

    Against it, and aside by as much as the plane turns at perilune.
    """
    orbit = existing(burn.at_cut_off.moon, "an orbit about the Moon").orbit
    there = flight.end.outbound.perilune
    r, before = there.lunar_r, there.lunar_v
    energy = float(orbit.v @ orbit.v) / 2.0 - c.MU_MOON / length(orbit.r)
    impulse = velocity_in_plane(orbit.normal, energy, c.MU_MOON)(r, before) - before
    along = float(unit(before) @ unit(impulse))
    aside = float(unit(cross(r, before)) @ unit(impulse))

    size = hypot(along, aside)
    return thrust_arc.out_of_plane(along / size, aside / size)


def _stopped(
    flight: Flight,
    burn: BurnRecord,
    elapsed: float,
    begin: nbody.ArcStart,
    steering: Steering,
    about: str = "Earth",
) -> tuple[State, nbody.ArcStart]:
    """Return the state and the motion once a burn has been on for a time and is cut off."""
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    lit = max(0.0, elapsed - burn.elapsed)
    state = evolved(_tanks(burn, engine, lit), elapsed=elapsed)
    if lit <= 0.0:
        return state, begin
    end: ThrustArc = thrust_arc.fly_thrust(
        begin.r,
        begin.v,
        begin.t,
        lit,
        thrust=thrust(engine),
        isp=engine.isp_vacuum,
        mass=burn.mass,
        steering=steering,
        about=about,
    )
    return state, nbody.ArcStart(end.r, end.v, end.t, 0.0)


def _tanks(burn: BurnRecord, engine: Engine, lit: float) -> State:
    """Return the state at ignition with the tanks as they are once an engine has burned."""
    before = burn.at_ignition
    drawn = min(burn.propellant, mass_flow(thrust(engine), engine.isp_vacuum) * lit)
    ledger = before.ledger.after_burn(burn.element, burn.engine, engine, drawn, lit)
    return evolved(before, ledger=ledger)


def moon_at(here: nbody.ArcStart) -> nbody.Arrival:
    """Return a state as an arrival, with the Moon's state there."""
    luna = ephemeris.moon(here.t)
    return nbody.Arrival(here.t, here.r, here.v, luna.r, luna.v, "time")
