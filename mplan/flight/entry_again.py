"""The same flight with another aeroshell or other parachutes: only what follows the interface."""

from __future__ import annotations

from dataclasses import replace

from mplan.flight.record import Flight, Passage
from mplan.flight.walk import fly_on
from mplan.scenario import Event, Scenario


def fly_entry_again(flight: Flight, scenario: Scenario) -> Flight:
    """Return the flight of a `scenario` that differs from that of `flight` in nothing but those.

    It is what flying the whole of it gives, at a tenth of the time; every state that it records is
    one of the new scenario. ValueError for a flight that flew no entry.
    """
    if flight.end.entry is None:
        raise ValueError("this flight flew no entry, which cannot be flown again by itself")
    enters = next(i for i, each in enumerate(flight.passages) if each.event.do == "enter")
    known = zip(flight.passages[:enters], scenario.events[:enters], strict=True)
    passages = [_of(passage, scenario, event) for passage, event in known]
    return fly_on(scenario, passages[-1].after, passages)


def _of(passage: Passage, scenario: Scenario, event: Event) -> Passage:
    """Return a passage whose states are those of another scenario."""
    burn = passage.burn and replace(
        passage.burn,
        at_ignition=replace(passage.burn.at_ignition, scenario=scenario),
        at_cut_off=replace(passage.burn.at_cut_off, scenario=scenario),
    )
    before = replace(passage.before, scenario=scenario)
    after = replace(passage.after, scenario=scenario)
    return Passage(event, before, after, passage.moment, burn)
