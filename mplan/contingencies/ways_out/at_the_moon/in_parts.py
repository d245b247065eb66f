"""Home from a lunar orbit by an engine too weak to leave it in one arc.

It raises the apolune burn by burn, each about the best place of a revolution, and leaves with a
long one, along the velocity or along the impulse, until the energy of the way home is there; what
that misses by in direction one burn mends on the way. All of it is integrated with the thrust and
the mass there, so that what gravity takes is in what is spent. Crew safety rests on this: a
planning study's figures.
"""

from __future__ import annotations

from functools import lru_cache
from math import inf
from typing import NamedTuple, Protocol

from mplan.contingencies.ways_out.mending import mended
from mplan.flight.state import Arc
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import Homeward
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.arcs.thrust_arc import (
    Steering,
    ThrustArc,
    along_velocity,
    fly_thrust,
    steady,
)
from mplan.physics.bodies import ephemeris
from mplan.physics.rocket import burn_time, mass_flow, propellant
from mplan.physics.targeting import NoArc
from mplan.physics.twobody import speed
from mplan.physics.vectors import cross, length
from mplan.vehicle.same import Same

ARC = 1.0  # rad of the orbit in one raising burn: 4 % are lost to gravity
HIGH = (
    1.2e7  # m, apolune radius up to which it is raised: Earth draws higher ones too far off (ours)
)
LEAST = 10.0  # m/s, of a raising burn
MOST = 12  # raising burns
BEYOND = 0.4  # of a revolution, after which the next place for a burn is looked for
EARLIER = (0.35, 0.5, 0.65)  # of the last burn, before the place of the impulse
STEPS = 8  # to the energy of the way home, at the most; two to four are usual
CLOSE = 1e-3  # m/s, to which that is met


class PartBurn(NamedTuple):
    """One burn: in its middle at `t` [TDB s], `spent` [m/s] in `seconds`.

    `before` is the orbit about the Moon that it changes; None of a burn that leaves none.
    """

    what: str
    t: float
    spent: float
    seconds: float
    before: LunarOrbit | None = None


class PartedReturn(NamedTuple):
    """A return in several burns, its arrival at Earth, and its coasts after the last but one."""

    burns: tuple[PartBurn, ...]
    interface: Arrival
    arcs: tuple[Arc, ...]

    @property
    def spent(self) -> float:
        """What all burns take [m/s]."""
        return sum(x.spent for x in self.burns)

    @property
    def seconds(self) -> float:
        """How long all burns last [s]."""
        return sum(x.seconds for x in self.burns)


class WeakEngine(NamedTuple):
    """Thrust [N], specific impulse [s], mass [kg] before the first burn, and what it has [m/s]."""

    thrust: float
    isp: float
    mass: float
    there: float

    def after(self, spent: float) -> WeakEngine:
        """Return the same once a velocity [m/s] has been spent."""
        left = self.mass - propellant(self.isp, self.mass, spent)
        return self._replace(mass=left, there=self.there - spent)

    def lasts(self, spent: float) -> float:
        """Return how long [s] a velocity [m/s] takes."""
        return burn_time(self.thrust, self.isp, propellant(self.isp, self.mass, spent))


class Ahead(Protocol):
    """Tells the ways home from an orbit, in one impulse in the revolution ahead."""

    def __call__(self, orbit: LunarOrbit) -> Homeward | None:
        """Return the one that takes least; None where none was found."""

    def about(self, orbit: LunarOrbit) -> Homeward | None:
        """Return one about whose place a raising burn is made; None where none was found."""


@lru_cache(maxsize=128)
def in_parts(
    first: Same[Homeward], engine: WeakEngine, angle: float, onward: Ahead
) -> PartedReturn | None:
    """Return the way home by a weak engine, from that by one impulse; None where none was found.

    `onward` tells the ways home by one impulse from each orbit that results; `angle` [rad] is that
    at the interface.
    """
    home, burns = first.it, list[PartBurn]()
    ahead: LunarOrbit | None = None
    for number in range(1, MOST + 1):
        size = raising(home.leaving, engine)
        if size < LEAST or home.delta_v < size:
            break
        if engine.there < size:
            return None
        try:
            burn, orbit = raised(home, engine, size, number)
        except ArithmeticError:
            return None
        burns.append(burn)
        engine = engine.after(size)
        ahead = next_turn(orbit)
        found = onward.about(ahead) if ahead else None
        if found is None:
            return None
        home = found
    if ahead is None:  # the long burn begins well before its place: the call may be later than that
        ahead = next_turn(home.leaving)
    return _left((onward(ahead) if ahead else None) or home, tuple(burns), engine, angle)


def raising(leaving: LunarOrbit, engine: WeakEngine) -> float:
    """Return the velocity [m/s] of a raising burn: within one arc, and no higher than `HIGH`."""
    low = length(leaving.r)
    cap = speed(low, (low + HIGH) / 2.0, c.MU_MOON)
    return min(cap - length(leaving.v), _in_one_arc(leaving, engine))


def raised(
    home: Homeward, engine: WeakEngine, size: float, number: int
) -> tuple[PartBurn, LunarOrbit]:
    """Return a raising burn about the place of a way home, and the orbit after it.

    ArithmeticError where the path meets the ground or the craft would be used up.
    """
    seconds = engine.lasts(size)
    begin = coast(home.leaving, -seconds / 2.0)
    end = _pushed(begin, seconds, engine, along_velocity(1.0))
    burn = PartBurn(f"raising burn {number}", home.t, size, seconds, home.leaving)
    return burn, _orbit(end, home.leaving)


def next_turn(orbit: LunarOrbit) -> LunarOrbit | None:
    """Return where the next place for a burn is looked for from, past the far side of the orbit.

    None where it is no ellipse any more.
    """
    return coast(orbit, BEYOND * orbit.period) if orbit.a > 0.0 else None


def _in_one_arc(leaving: LunarOrbit, engine: WeakEngine) -> float:
    """Return the velocity [m/s] that the engine gives in one arc about a place."""
    rate = length(cross(leaving.r, leaving.v)) / float(leaving.r @ leaving.r)
    spent = mass_flow(engine.thrust, engine.isp) * ARC / rate
    return engine.thrust / (engine.mass - spent / 2.0) * ARC / rate


def _pushed(start: LunarOrbit, seconds: float, engine: WeakEngine, steering: Steering) -> ThrustArc:
    """Return where the thrust leads from an orbit in a time [s]."""
    luna = ephemeris.moon(start.t)
    return fly_thrust(
        start.r + luna.r,
        start.v + luna.v,
        start.t,
        seconds,
        thrust=engine.thrust,
        isp=engine.isp,
        mass=engine.mass,
        steering=steering,
        about="Moon",
    )


def _orbit(end: ThrustArc, like: LunarOrbit) -> LunarOrbit:
    luna = ephemeris.moon(end.t)
    return LunarOrbit(end.t, end.r - luna.r, end.v - luna.v, like.degree)


def _energy(orbit: LunarOrbit) -> float:
    return float(orbit.v @ orbit.v) / 2.0 - c.MU_MOON / length(orbit.r)


def _left(
    home: Homeward, before: tuple[PartBurn, ...], engine: WeakEngine, angle: float
) -> PartedReturn | None:
    """Return the last, long burn and the one that mends its arc; of a few ways the least."""
    best: PartedReturn | None = None
    spent_before = sum(x.spent for x in before)
    for steering in (along_velocity(1.0), steady(home.burn)):
        seconds = engine.lasts(1.1 * home.delta_v)
        for earlier in EARLIER:
            most = best.spent - spent_before if best else inf
            try:
                end, seconds = _until_fast(home, engine, earlier, steering, seconds, most)
            except ArithmeticError:
                continue
            found = _mended(home, before, engine, end, seconds, angle)
            if found is not None and (best is None or found.spent < best.spent):
                best = found
    return best


def _mended(
    home: Homeward,
    before: tuple[PartBurn, ...],
    engine: WeakEngine,
    end: ThrustArc,
    seconds: float,
    angle: float,
) -> PartedReturn | None:
    """Return the way home from the end of the last, long burn; None where no burn mends its arc."""
    spent = end.ideal
    start = nbody.fly_arc(end.r, end.v, end.t, 0.0, degree=home.leaving.degree)
    mend = mended(Same(start), angle, max(0.0, engine.there - spent))
    if mend is None:
        return None
    then = nbody.fly_arc(start.r, start.v, start.t, mend.t - start.t)
    last = PartBurn("return burn", end.t - seconds / 2.0, spent, seconds, home.leaving)
    lasts = engine.after(spent).lasts(mend.delta_v)
    burns = (*before, last, PartBurn("midcourse correction", mend.t, mend.delta_v, lasts))
    arcs = (
        Arc(start.r, start.v, start.t, mend.t),
        Arc(then.r, then.v + mend.burn, mend.t, mend.interface.t),
    )
    return PartedReturn(burns, mend.interface, arcs)


def _until_fast(
    home: Homeward,
    engine: WeakEngine,
    earlier: float,
    steering: Steering,
    seconds: float,
    most: float,
) -> tuple[ThrustArc, float]:
    """Return a burn that goes on until it has the energy of the way home, and its time [s].

    It begins that share of its time `earlier` than the impulse; `seconds` is a guess at its time.
    ArithmeticError where it hits the ground, would use up the craft, or takes more than `most`
    [m/s]: what it lacks of the energy takes at least as much again, along the velocity.
    """
    leaving = home.leaving
    wanted = _energy(leaving._replace(v=leaving.v + home.burn))
    for _ in range(STEPS):
        end = _pushed(coast(leaving, -earlier * seconds), seconds, engine, steering)
        orbit = _orbit(end, leaving)
        short = (wanted - _energy(orbit)) / length(orbit.v)  # m/s along the velocity
        if abs(short) < CLOSE:
            break
        if short > 0.0 and end.ideal + short > most:
            raise NoArc("there is a way that takes less")
        seconds += short * end.mass / engine.thrust
    return end, seconds
