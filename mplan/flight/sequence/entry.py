"""Whether what enters the atmosphere is the crew module, alone."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.flight.sequence.fault import Fault, at
from mplan.flight.sequence.log import Log
from mplan.scenario import EnterEvent


def of_entry(log: Log, index: int, event: EnterEvent) -> Iterator[Fault]:
    """Yield what is kept through the entry beside the element that comes home."""
    role = log.scenario.elements[event.element].role
    if role != "crew module":
        yield at(index, f"{event.element}, a {role}, enters the atmosphere with the crew")
    for name in log.craft_of(event.element):
        if name == event.element:
            continue
        later, kept = log.goes_later(name, index), f"{name} is kept through the entry: it is"
        if later is None:
            yield at(index, f"{kept} never jettisoned", do="jettison", elements=[name])
        else:
            yield at(index, f"{kept} jettisoned only by events.{later}")
