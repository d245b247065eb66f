"""Whether propellant can be transferred where an event has it: joined, and into tanks for it."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.flight.sequence.fault import Fault, at
from mplan.flight.sequence.log import Log
from mplan.scenario import TransferPropellantEvent
from mplan.scenario.events import has_burn


def of_transfer(log: Log, index: int, event: TransferPropellantEvent) -> Iterator[Fault]:
    """Yield what is wrong with a transfer of propellant; how much there is, is flown."""
    one, other = event.origin, event.target
    if one == other:
        yield at(index, f"{one} is to transfer {event.propellant} to itself; name two elements")
        return
    if event.propellant == "solid propellant":
        yield at(index, "solid propellant cannot be transferred")
        return
    for name in (one, other):
        tanks = log.scenario.elements[name].tanks.values()
        if event.propellant not in (tank.propellant for tank in tanks):
            held = ", ".join(dict.fromkeys(tank.propellant for tank in tanks)) or "no tank"
            yield at(index, f"{name} has no tank of {event.propellant}; it has {held}")
    if other not in log.craft_of(one):
        text = f"{one} and {other} are not joined; no propellant can be transferred"
        yield at(index, text)
    if has_burn(log.scenario.events[index:], "climb"):
        yield at(index, "propellant is to be transferred before the climb is over")
