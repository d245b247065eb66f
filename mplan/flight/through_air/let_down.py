"""From the opening of the drogues to splashdown, with all parachutes or with some that failed."""

from __future__ import annotations

from mplan.physics.bodies import atmosphere
from mplan.physics.entry.entry_flight import EntryFlight, EntryVehicle
from mplan.physics.entry.parachutes import CanopySet, ParachuteDescent, drag_area, under
from mplan.scenario.entry import Parachutes, ParachuteSet


def let_down(
    flown: EntryFlight,
    mass: float,
    vehicle: EntryVehicle,
    chutes: Parachutes,
    *,
    drogues_less: int = 0,
    mains_less: int = 0,
) -> ParachuteDescent | None:
    """Return the descent of a `mass` [kg] from where an entry ends, some parachutes having failed.

    None where the entry does not come down.
    """
    if flown.end != "down":
        return None
    last, body = flown.last, mass / (vehicle.slow or vehicle.ballistic)
    drogues, mains = canopies(chutes.drogues, drogues_less), canopies(chutes.mains, mains_less)
    return under(mass, body, last.speed, -last.climb, drogues, mains, atmosphere.standard_air)


def canopies(stated: ParachuteSet, less: int = 0) -> CanopySet:
    """Return parachutes as the physics wants them, `less` of them having failed."""
    area = drag_area(stated.count - less, stated.diameter, stated.drag_coefficient)
    return CanopySet(area, stated.altitude, stated.reefed)
