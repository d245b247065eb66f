"""Questions asked of a flown plan, one file per kind of question; each answers with findings."""

from __future__ import annotations

from mplan.checks import (
    boil_off,
    burns,
    causes,
    climb,
    contact,
    control,
    crossfeed,
    duration,
    engines,
    entry,
    escape,
    fit,
    impact,
    landing,
    light,
    living,
    lunar_orbit,
    pad,
    power,
    power_and_heat,
    radiation,
    recovery,
    rendezvous,
    sequence,
    settling,
    supplies,
    thrust,
    thrusters,
)
from mplan.checks.docked import cycles, earlier, on_the_ground, transfer, waiting
from mplan.checks.finding import Finding, Severity, as_set, of_ship, unmatched
from mplan.flight.record import Flight

__all__ = ["Finding", "Severity", "of"]


# Asked of events and stack as they stand, of what was flown, of a mission flown to its splash.
ON_PAD = (sequence, pad, fit)
FLOWN = (
    transfer,
    thrust,
    climb,
    impact,
    burns,
    engines,
    cycles,
    settling,
    crossfeed,
    boil_off,
    thrusters,
    control,
    escape,
)
HOME = (
    lunar_orbit,
    landing,
    on_the_ground,
    supplies,
    living,
    duration,
    light,
    contact,
    recovery,
    rendezvous,
    entry,
    power,
    power_and_heat,
    radiation,
)


def of(flight: Flight) -> tuple[Finding, ...]:
    """Return every finding on a flight: the gravest first, causes before what follows from them.

    Where the flight ends early, nothing is asked of what was not flown.
    """
    asked = (*ON_PAD, *(FLOWN if flight.climb else ()), *(() if flight.ended else HOME))
    said = [finding for check in asked for finding in check.findings(flight)]
    found = [as_set(finding, flight.scenario) for finding in said]
    if not flight.ended:  # else a name may be about what was not asked
        found += unmatched(said, flight.scenario)
    found = list(causes.marked(flight, found))
    theirs = [(name, x) for name in flight.others for x in _of_other(flight, name)]
    theirs += waiting.findings(flight)
    for name, mission in flight.left.items():
        found += (as_set(x, flight.scenario) for x in earlier.findings(name, mission, of(mission)))
    found += [as_set(of_ship(x, name), flight.scenario) for name, x in theirs]
    return tuple(sorted(found, key=lambda x: (x.rank, bool(x.cause))))


def _of_other(flight: Flight, name: str) -> tuple[Finding, ...]:
    """Return the findings on a ship launched on its own, as far as it flies by itself.

    What boils off of one that is met is told once, of the mission as a whole, and so is a load that
    is drawn neither before nor after.
    """
    found = of(flight.others[name])
    if name in flight.end.waiting:
        return found
    return tuple(x for x in found if x.check != "boil-off" and x.figures != power.NEVER)
