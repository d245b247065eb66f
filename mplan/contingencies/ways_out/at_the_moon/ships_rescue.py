"""The ship goes down to a lander that burns no more, takes its crew aboard and climbs again.

It waits until the lander stands right for it; the trip is that of `contingencies.rescue`. Its
return burn's propellant is kept back. Crew safety rests on this: a planning study's figures.
"""

from __future__ import annotations

from functools import lru_cache

from mplan.contingencies import rescue
from mplan.contingencies.rescue import Rescue, Stranded
from mplan.contingencies.ways_out.way_out import DOCKED, MoonCoast, WayBurn, WayOut
from mplan.flight.record import Flight
from mplan.flight.state import Craft
from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, OrbitKey, coast_abreast, key_of
from mplan.physics.arcs.orbit import apsides
from mplan.physics.rendezvous.relative import phase_angle
from mplan.vehicle.same import Same

NAME = "rescue by the ship"
MOST_WAITS = 18  # revolutions of the lander: by then it has been all round the ship
BEHIND = (-60.0 * c.DEG, -1.0 * c.DEG)  # of the lander, for a schedule that comes from ahead
LOOKED_AT = 3  # waits that are flown
IMPACT = "its perilune is below the ground"
NO_SHIP = "no ship waits in orbit"


def rescue_of(
    flight: Flight, lander: LunarOrbit, ship: LunarOrbit, craft: Craft, called: float
) -> WayOut:
    """Return the rescue of a lander on an orbit, both orbits at one time, open or closed."""
    if flight.end.rendezvous is None:
        return WayOut(NAME, called, craft, ends=DOCKED, closed=NO_SHIP)
    if apsides(lander)[0] < c.R_MOON or lander.a < 0.0:
        return WayOut(NAME, called, craft, ends=DOCKED, closed=IMPACT)
    found = _rescued(Same(flight), key_of(lander), key_of(ship))
    if found is None:
        why = "the ship finds no way to it within a turn of both orbits"
        return WayOut(NAME, called, craft, ends=DOCKED, closed=why)
    host, lift_off = rescue.flown_rendezvous(flight).host, flight.end.lift_off
    begins = found.meeting.steps[0].t - lift_off
    spent = found.total
    burn = WayBurn(
        "descent to the lander and climb back",
        host.element,
        host.engine,
        begins,
        spent,
        spent + found.left,
    )
    lacks = -found.left
    return WayOut(
        name=NAME,
        called=called,
        craft=flight.end.joined(host.element) or (host.element,),
        burns=(burn,),
        ends=DOCKED,
        home=found.meeting.docked - lift_off,
        closed=f"the ship then lacks {lacks:.0f} m/s for the way home" if lacks > 0.0 else "",
        orbits=(
            MoonCoast("the lander's orbit", lander, craft),
            MoonCoast("the ship's orbit", ship, (host.element,)),
        ),
        note="propellant for the ship's later burns is kept; the last braking would need thrusters",
    )


@lru_cache(maxsize=256)
def _rescued(of: Same[Flight], lander: OrbitKey, ship: OrbitKey) -> Rescue | None:
    """Return the first rescue that leaves enough, of the waits in which the lander stands right."""
    found: list[Rescue] = []
    low, high, turn = lander.orbit, ship.orbit, lander.orbit.period
    for turns in range(MOST_WAITS):
        if len(found) == LOOKED_AT:
            break
        if turns:
            low, high = coast_abreast((low, high), turn)
        if BEHIND[0] < phase_angle(high, low) < BEHIND[1]:
            tried = rescue.adequate(of.it, Stranded("", low, high))
            if tried is not None and tried.left >= 0.0:
                return tried
            found += [tried] if tried is not None else []
    return max(found, key=lambda each: each.left, default=None)
