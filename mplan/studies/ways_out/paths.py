"""The coasts of a way out, and of the way to the Moon as planned, integrated to be drawn."""

from __future__ import annotations

from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.studies import coasts
from mplan.studies.coasts import Coast


def of(way: WayOut, flight: Flight) -> list[Coast]:
    """Return the coasts of a way out, points close together near their ends."""
    names = ["on the way out", *(f"after burn {i}" for i in range(2, len(way.arcs) + 1))]
    start = flight.end.lift_off
    return [coasts.along(name, x, start) for name, x in zip(names, way.arcs, strict=True)]


def planned(flight: Flight) -> list[Coast]:
    """Return the coasts to the Moon; none of a mission that does not leave Earth's orbit."""
    if flight.end.departing is None:
        return []
    start = flight.end.lift_off
    return [coasts.along("to the Moon", each, start) for each in flight.end.translunar_arcs]
