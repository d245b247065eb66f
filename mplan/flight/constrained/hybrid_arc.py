"""A hybrid arc: the injection onto a free return, and the burn that leaves it for lunar orbit.

The free return passes the perilune that `orbits.free_return_perilune` states or, without it, the
one that it reaches in the planned time to the Moon: the transfer then costs next to no time, which
is what makes it cheap. Its plane is that of the arrival or, where no free return lies in that, the
one nearest to the Moon's equator.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from typing import NamedTuple

import numpy as np

from mplan.flight import launch, lunar_orbit
from mplan.flight.arrival.plane import arrival_plane
from mplan.flight.state import Departing, Need, State, existing
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.bplane import Asymptote
from mplan.physics.arcs.outbound import LunarPlane, Outbound
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import selenography
from mplan.physics.circumlunar import free_return, hybrid
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import unit
from mplan.scenario import BurnEvent, Event, Scenario
from mplan.scenario.events import leg_of
from mplan.scenario.profiles import HYBRID_TRANSFER


class HybridArc(NamedTuple):
    """The injection, its perilune that of the hybrid, and the transfer that leads there."""

    outbound: Outbound
    transfer: hybrid.HybridTransfer


def to_lunar_orbit(
    orbit: Parking, scenario: Scenario, ahead: Sequence[Event], time_of_flight: float
) -> HybridArc:
    """Return the hybrid arc that is at its perilune after `time_of_flight` [s]; NoArc if none."""
    arrival = arrival_plane(scenario, ahead)
    for plane in (arrival, partial(_level, scenario)):
        with suppress(ArithmeticError):
            flown = _free_return(orbit, scenario, plane, time_of_flight).outbound
            wait = time_to_transfer(ahead)
            here = nbody.fly_arc(flown.r, flown.v, flown.injection, wait)
            arrive = flown.injection + time_of_flight
            transfer = hybrid.leave_for(
                here,
                flown.perilune,
                perilune=lunar_orbit.radius(scenario),
                plane=arrival,
                arrive=arrive,
            )
            return HybridArc(replace(flown, perilune=transfer.perilune), transfer)
    raise NoArc("no hybrid arc was found")


def _free_return(
    orbit: Parking, scenario: Scenario, plane: LunarPlane, time_of_flight: float
) -> free_return.FreeReturn:
    orbits = scenario.orbits
    revolutions, angle = orbits.parking_revolutions, orbits.entry_angle
    if orbits.free_return_perilune is None:
        return free_return.free_return_in_time(
            orbit,
            revolutions=revolutions,
            time_of_flight=time_of_flight,
            entry_angle=angle,
            plane=plane,
            side=scenario.dates.side,
        )
    return free_return.find_free_return(
        orbit,
        revolutions=revolutions,
        perilune=c.R_MOON + orbits.free_return_perilune,
        entry_angle=angle,
        plane=plane,
        side=scenario.dates.side,
    )


def _level(scenario: Scenario, incoming: Asymptote, t: float) -> np.ndarray:
    """Return the normal of the plane nearest to the Moon's equator, in the sense of approach."""
    pole, s = selenography.lunar_pole(t), incoming.s
    return lunar_orbit.sense(scenario) * unit(pole - (pole @ s) * s)


def time_to_transfer(ahead: Sequence[Event]) -> float:
    """Return the time [s] from the injection to the transfer that the events foresee."""
    return sum(_times(ahead))


def _times(ahead: Sequence[Event]) -> Iterator[float]:
    gone = False
    for event in ahead:
        leg = leg_of(event)
        if leg == HYBRID_TRANSFER:
            return
        if gone:
            yield getattr(event, "duration", None) or 0.0
        gone = gone or leg == "translunar injection"


def transfer_burn(state: State, burn: BurnEvent, ahead: Sequence[Event]) -> Need:
    """Return the burn that leaves the free return, from where the ship then is on it."""
    departing = existing(state.departing, "a way to the Moon")
    planned = existing(departing.transfer, "a free return to leave")
    out, scenario = departing.outbound, state.scenario
    here = nbody.fly_arc(out.r, out.v, out.injection, state.t - out.injection)
    found = hybrid.leave_for(
        here,
        planned.unchanged,
        perilune=lunar_orbit.radius(scenario),
        plane=arrival_plane(scenario, ahead),
        arrive=out.injection + launch.translunar_time(scenario),
    )
    then = Departing(
        departing.lift_off, replace(out, perilune=found.perilune), transfer=found, transferred=True
    )
    past = float(np.linalg.norm(planned.unchanged.lunar_r)) - c.R_MOON
    note = f"leaves a free return past {past / 1e3:,.0f} km"
    return Need(found.delta_v, state, replace(state, departing=then, corrected=()), note=note)
