"""The stay on the Moon: the Sun over the site, the way back at each pass, the ship meanwhile."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

import numpy as np

from mplan.flight import lunar_ascent
from mplan.flight.descent import site
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import State, existing
from mplan.physics import constants as c
from mplan.physics.bodies import sight
from mplan.physics.burns.linear_tangent import SteadyThrust
from mplan.physics.vectors import frozen
from mplan.plan import Plan
from mplan.studies import revolution
from mplan.studies.revolution import Revolution
from mplan.vehicle.ledger import thrust

ASCENT = "lunar ascent"
BEYOND = 24.0 * c.HOUR  # past the planned lift-off, looked at too
BEHIND = 1.0  # s: a pass is looked for from here after the last one


class Pass(NamedTuple):
    """A chance to lift off, `after` [s] from touchdown, at a pass of the ship over the site.

    `off` [rad] is the site's angle out of its plane, north of it positive; `required` [m/s] the
    ascent flown then, `margin` [m/s] what is left beyond it and the margin policy's share.
    """

    after: float
    sun: float  # rad, over the site
    off: float
    required: float
    plane: float  # m/s of it
    margin: float


class Sky(NamedTuple):
    """The Sun over the site: times [s from touchdown] and elevations [rad]."""

    after: np.ndarray
    sun: np.ndarray


class Window(NamedTuple):
    """Passes around the planned lift-off that the ascent can afford: earliest and latest."""

    first: Pass
    last: Pass


class Ship(NamedTuple):
    """What the ship in orbit does through the stay: `over` counts its passes over the site."""

    revolutions: float
    over: int
    view: Revolution


def landed(plan: Plan) -> tuple[float, float] | None:
    """Return touchdown and lift-off [s since launch], or None for a mission that does not land."""
    burn = plan.flight.burn_of(ASCENT)
    for moment in plan.timeline:
        if moment.kind == "land" and burn is not None:
            return moment.elapsed, burn.elapsed
    return None


def sky(plan: Plan, count: int = 49, beyond: float = BEYOND) -> Sky:
    """Return the Sun's elevation from touchdown to `beyond` [s] after the planned lift-off."""
    down, up = existing(landed(plan), "a stay on the Moon")
    place, launch = plan.scenario.site, plan.flight.end.lift_off
    after = np.linspace(0.0, up - down + beyond, count)
    sun = [
        sight.sun_elevation(place.latitude, place.longitude, launch + down + t)
        for t in after.tolist()
    ]
    return frozen(Sky(after, np.array(sun)))


def passes(plan: Plan, beyond: float = BEYOND) -> tuple[Pass, ...]:
    """Return the passes of the ship from touchdown to `beyond` [s] after the planned lift-off.

    Each has its own ascent, flown. () for a mission that does not land.
    """
    times = landed(plan)
    burn = plan.flight.burn_of(ASCENT)
    if times is None or burn is None:
        return ()
    found: list[Pass] = []
    elapsed = times[0]
    while True:
        before = _at(plan.flight, elapsed)
        elapsed += lunar_ascent.wait(before, _push(plan.flight, burn))
        if elapsed > times[1] + beyond:
            return tuple(found)
        found.append(_pass(plan.flight, burn, elapsed, elapsed - times[0]))
        elapsed += before.orbit.period / 2.0


def _at(flight: Flight, elapsed: float) -> State:
    """Return the state at a time of the stay [s since launch], as recorded.

    After the planned lift-off, as it would be had nobody left.
    """
    leaves = next(i for i, x in enumerate(flight.passages) if x.burn and x.burn.leg == ASCENT)
    begun = [x.before for x in flight.passages[: leaves + 1] if x.before.elapsed <= elapsed]
    return begun[-1].later(elapsed - begun[-1].elapsed)


def _pass(flight: Flight, burn: BurnRecord, elapsed: float, after: float) -> Pass:
    state, place = _at(flight, elapsed), flight.scenario.site
    try:
        climb = lunar_ascent.fly_lunar_ascent(state, lunar_ascent.plane(state), _push(flight, burn))
        required, plane = climb.delta_v, climb.losses["plane"]
    except ArithmeticError:
        required = plane = inf
    return Pass(
        after=after,
        sun=sight.sun_elevation(place.latitude, place.longitude, state.t),
        off=state.orbit.angle_off(site(state)),
        required=required,
        plane=plane,
        margin=burn.available - burn.reserved - required,
    )


def _push(flight: Flight, burn: BurnRecord) -> SteadyThrust:
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    return SteadyThrust(thrust(engine), engine.isp_vacuum, burn.mass)


def window(plan: Plan, found: Sequence[Pass]) -> Window | None:
    """Return the unbroken run of affordable passes around the planned lift-off, if there is one."""
    down, up = existing(landed(plan), "a stay on the Moon")
    planned = min(range(len(found)), key=lambda i: abs(found[i].after - (up - down)))
    if found[planned].margin < 0.0:
        return None
    first = last = planned
    while first > 0 and found[first - 1].margin >= 0.0:
        first -= 1
    while last + 1 < len(found) and found[last + 1].margin >= 0.0:
        last += 1
    return Window(found[first], found[last])


def ship(plan: Plan) -> Ship:
    """Return what the ship does between touchdown and lift-off, seen from its orbit midway."""
    down, up = existing(landed(plan), "a stay on the Moon")
    middle = _at(plan.flight, (down + up) / 2.0).orbit
    over = sum(each.after <= up - down + BEHIND for each in passes(plan, 0.0))
    return Ship((up - down) / middle.period, over, revolution.of(middle))
