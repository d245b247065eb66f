"""Every way out at a point of a flight, by the stretch it is in."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache

from mplan.contingencies.ways_out import through_air
from mplan.contingencies.ways_out.at_the_moon import lunar_orbit, surface, way_down, way_up
from mplan.contingencies.ways_out.climbing import off_the_climb
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.on_the_way_home import way_home
from mplan.contingencies.ways_out.outbound import earth_orbit, to_the_moon
from mplan.contingencies.ways_out.point import CabinPoint, Stretch
from mplan.contingencies.ways_out.sheltering import LEAK
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.vehicle.same import Same

Ways = Callable[[CabinPoint, FailureName], Iterable[WayOut]]
# Of each stretch, what yields its ways out, open and closed; one that is missing is not examined.
BY_STRETCH: Mapping[Stretch, Ways] = {
    "pad": off_the_climb.ways,
    "climb": off_the_climb.ways,
    "Earth orbit": earth_orbit.ways,
    "to the Moon": to_the_moon.ways,
    "lunar orbit": lunar_orbit.ways,
    "way down": way_down.ways,
    "on the Moon": surface.ways,
    "way up": way_up.ways,
    "way home": way_home.ways,
    "entry": through_air.ways,
}

# Of some, what yields more of them to who needs the shelter of another cabin on the way.
WITH_SHELTER: Mapping[Stretch, Callable[[CabinPoint], Iterable[WayOut]]] = {
    "to the Moon": to_the_moon.with_shelter,
    "lunar orbit": lunar_orbit.with_shelter,
}

# Of some, what yields more ways where time is what lacks: faster ones, or with the burn that is on.
IN_LESS_TIME: Mapping[Stretch, Callable[[CabinPoint], Iterable[WayOut]]] = {
    "to the Moon": to_the_moon.sooner,
    "lunar orbit": lunar_orbit.sooner,
}
SHORT_OF_TIME: tuple[FailureName, ...] = (LEAK, "half the power lost")


def is_examined(stretch: Stretch) -> bool:
    """Tell whether the ways out of a stretch are flown at all."""
    return stretch in BY_STRETCH


def ways_out(point: CabinPoint, failure: FailureName) -> tuple[WayOut, ...]:
    """Return the ways out at a point once something has failed, open ones first.

    () where there is none; LookupError where the stretch is not examined. Crew safety rests on
    these: a planning study's figures, no flight procedure.
    """
    if not is_examined(point.stretch):
        raise LookupError(f"the stretch '{point.stretch}' is not examined")
    found = BY_STRETCH[point.stretch](point, failure)
    return tuple(sorted(found, key=lambda way: bool(way.closed)))


def ways_with_shelter(point: CabinPoint, failure: FailureName) -> tuple[WayOut, ...]:
    """Return the ways out that keep another cabin for the crew of one that leaks, open ones first.

    They push more than they have to: of other failures there are none.
    """
    if failure != LEAK or point.stretch not in WITH_SHELTER:
        return ()
    found = WITH_SHELTER[point.stretch](point)
    return tuple(sorted(found, key=lambda way: bool(way.closed)))


def ways_sooner(point: CabinPoint, failure: FailureName) -> tuple[WayOut, ...]:
    """Return the ways out that are home as soon as the tanks give, open ones first.

    Of failures that leave little time; of others there are none.
    """
    if failure not in SHORT_OF_TIME or point.stretch not in IN_LESS_TIME:
        return ()
    return tuple(sorted(IN_LESS_TIME[point.stretch](point), key=lambda way: bool(way.closed)))


def ways_once_docked(ship: CabinPoint) -> tuple[WayOut, ...]:
    """Return the ship's ways home once its lander has come back to it at a point, all crew aboard.

    Whether or not the plan has them there by then; nothing else has failed.
    """
    return _once_docked(Same(ship.flight), ship.cabin, ship.elapsed)


@lru_cache(maxsize=64)  # the same for all that fails, and for looks before one docking
def _once_docked(of: Same[Flight], cabin: str, elapsed: float) -> tuple[WayOut, ...]:
    ship = CabinPoint(of.it, cabin, elapsed)
    if ship.stretch != "lunar orbit":
        return ways_out(ship, "called off")
    return tuple(sorted(lunar_orbit.once_docked(ship), key=lambda way: bool(way.closed)))
