"""The same flight with another aeroshell or other parachutes: only what follows the interface."""

from __future__ import annotations

from dataclasses import replace

from mplan.flight.entry import aimed_range, come_down, straight_on
from mplan.flight.record import Flight
from mplan.flight.steps import interface_of
from mplan.scenario import Scenario


def again(flight: Flight, scenario: Scenario) -> Flight:
    """Return the flight of a `scenario` that differs from that of `flight` in nothing but those.

    It is what flying the whole of it gives, at a tenth of the time. ValueError for a flight that
    flew no entry.
    """
    if flight.end.entry is None:
        raise ValueError("this flight flew no entry, which cannot be flown again by itself")
    name, interface = flight.end.entry.element, interface_of(flight.end)
    at = replace(flight.end, scenario=scenario).until(interface.t)
    entry = come_down(at, interface, name)
    splash = entry.splash if entry else straight_on(interface, aimed_range(scenario))
    end = replace(at, entry=entry).until(splash.t)
    last = replace(flight.moments[-1], elapsed=end.elapsed, estimate=bool(splash.estimate))
    lived = replace(flight.stretches[-1], duration=end.elapsed - at.elapsed)
    return replace(
        flight,
        scenario=scenario,
        passages=(*flight.passages[:-1], replace(flight.passages[-1], after=end, moment=last)),
        stretches=(*flight.stretches[:-1], lived),
        end=end,
        splash=splash,
    )
