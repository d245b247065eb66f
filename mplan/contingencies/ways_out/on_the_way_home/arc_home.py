"""The arc home as flown, and where it leads without a correction that it waits for."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from mplan.flight.record import BurnRecord, Flight
from mplan.flight.steps import interface_of
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.entry.corridor import Corridor
from mplan.physics.vectors import cross, unit
from mplan.vehicle.same import Same

CORRECTION = "homeward correction"
LONGEST = 10.0 * c.DAY  # s, for which an arc home is followed


class ArcHome(NamedTuple):
    """An arc home: GCRS state [m], [m/s] at `t` [TDB s], the field it is flown in, its arrival."""

    begin: Arrival
    degree: Degree
    interface: Arrival

    def at(self, t: float) -> Arrival:
        """Return where it is at a time [TDB s]."""
        start = self.begin
        return nbody.fly_arc(start.r, start.v, start.t, t - start.t, degree=self.degree)


def arc_home(flight: Flight) -> ArcHome | None:
    """Return the arc home of a flight, from the return burn or from perilune; None without one."""
    end, interface = flight.end, interface_of(flight.end)
    if interface is None:
        return None
    if end.homeward is None:
        return ArcHome(end.outbound.perilune, 2, interface)
    home = end.homeward
    start = nbody.fly_arc(home.r, home.v, home.t, 0.0, degree=home.leaving.degree)
    return ArcHome(start, home.leaving.degree, interface)


def corrections_ahead(flight: Flight, elapsed: float) -> list[BurnRecord]:
    """Return the homeward corrections that are not over at a time [s since lift-off]."""
    return [
        x
        for x in flight.burns
        if x.leg == CORRECTION and x.lit and x.elapsed + x.duration > elapsed
    ]


def angles_without(flight: Flight, correction: BurnRecord) -> tuple[float, float]:
    """Return the entry angles [rad] between which the arc leads if a correction is not made.

    The arc is off by as much as it would mend, one way or the other, along the track seen from
    Earth, which moves its perigee most. An angle of zero stands for a pass above the interface.
    """
    return _angles(Same(flight), correction.elapsed, correction.impulse)


@lru_cache(maxsize=64)
def _angles(of: Same[Flight], elapsed: float, size: float) -> tuple[float, float]:
    arc = arc_home(of.it)
    assert arc is not None
    here = arc.at(of.it.end.lift_off + elapsed)
    along = unit(cross(cross(here.r, here.v), here.r))
    starts = [
        nbody.ArcStart(here.r, here.v + sense * size * along, here.t, LONGEST)
        for sense in (-1.0, 1.0)
    ]
    ends = nbody.fly_abreast(starts, "earth", degree=arc.degree)
    found = [flight_path_angle(x.r, x.v) if x.stop == "entry interface" else 0.0 for x in ends]
    return min(found), max(found)


def corridor_of(flight: Flight) -> Corridor | None:
    """Return the corridor of the plan's entry; None where none was flown."""
    return flight.end.entry.corridor if flight.end.entry else None
