"""Free returns as a family: perilune altitude, translunar time and return perigee hang together."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import NamedTuple

import numpy as np

from mplan.flight.translunar import arrival_plane
from mplan.physics import constants as c
from mplan.physics.arcs import nbody, outbound
from mplan.physics.circumlunar import free_return
from mplan.physics.twobody import conic
from mplan.plan import Plan


class Loop(NamedTuple):
    """An arc round the Moon with no burn there: heights in [m], times in [s], velocity in [m/s].

    `return_perigee` is the height over the equatorial radius at which it passes Earth, below
    zero when it would hit; `prograde` tells which way round.
    """

    perilune: float
    translunar_time: float
    return_time: float
    return_perigee: float
    prograde: bool
    injection: float


def free_returns(plan: Plan, altitudes: Sequence[float]) -> tuple[Loop, ...]:
    """Return the free return into the plan's entry angle past each perilune altitude [m].

    Altitudes without one are omitted. The plane, the day and the side are the plan's.
    """
    found = []
    for altitude in altitudes:
        with suppress(ArithmeticError):
            flown, _ = free_return.find_free_return(
                plan.flight.end.outbound.parking,
                revolutions=plan.scenario.orbits.parking_revolutions,
                perilune=c.R_MOON + altitude,
                entry_angle=plan.scenario.orbits.entry_angle,
                plane=_plane(plan),
                side=plan.scenario.dates.side,
            )
            found.append(_loop(flown))
    return tuple(found)


def loop(plan: Plan, altitude: float, flights: Sequence[float]) -> tuple[Loop, ...]:
    """Return the arcs past one perilune altitude [m] at each translunar time [s].

    Only near one of the times does the arc come back into the air: the free return.
    """
    found, start = [], None
    parking = plan.flight.end.outbound.parking
    for flight in flights:
        with suppress(ArithmeticError):
            flown = outbound.target_outbound(
                parking,
                revolutions=plan.scenario.orbits.parking_revolutions,
                time_of_flight=flight,
                perilune=c.R_MOON + altitude,
                plane=_plane(plan),
                side=plan.scenario.dates.side,
                start=start,
            )
            start = outbound.unknowns_of(flown, parking)
            found.append(_loop(flown))
    return tuple(found)


def _plane(plan: Plan) -> outbound.LunarPlane:
    scenario = plan.scenario
    return arrival_plane(scenario, scenario.events)


def _loop(flown: outbound.Outbound) -> Loop:
    there = flown.perilune
    end = nbody.fly_arc(there.r, there.v, there.t, free_return.LONGEST_RETURN, "earth")
    if end.stop == "time":
        raise ArithmeticError("the arc does not come back within twelve days")
    here = conic(end.r, end.v, c.MU_EARTH)
    return Loop(
        perilune=float(np.linalg.norm(there.lunar_r)) - c.R_MOON,
        translunar_time=there.t - flown.injection,
        return_time=end.t - there.t,
        return_perigee=here.periapsis - c.R_EARTH,
        prograde=bool(here.h @ nbody.earth_pole(end.t) > 0.0),
        injection=flown.delta_v,
    )
