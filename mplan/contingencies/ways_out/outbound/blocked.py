"""Main engines that are there and can not push: inside a housing, or against the cabin."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.stack import crew_module


def blocked(way: OnTheWay) -> Iterator[WayOut]:
    """Yield the main engines that stand inside another element, or point at the cabin."""
    scenario, home = way.flight.scenario, crew_module(way.flight.scenario)
    for name in way.craft:
        element = scenario.elements[name]
        mains = [key for key, engine in element.engines.items() if engine.purpose == "main"]
        keys = [key for key in mains if (name, key) not in way.lost.gone]
        for key in keys:
            if element.inside in way.craft:
                why = f"it stands inside the {plain(element.inside or '')}"
            elif _points_at(way, name, home):
                why = "its nozzles point at the crew module"
            else:
                continue
            yield WayOut(
                f"return by {plain(name)}, {plain(key)}", way.called, way.craft, closed=why
            )


def _points_at(way: OnTheWay, name: str, home: str) -> bool:
    line = inertia.in_line(way.craft, way.state.scenario)
    stands = line.index(name), line.index(home)
    hangs = way.flight.scenario.elements[name].role in inertia.LANDER and stands[0] > stands[1]
    return not hangs and stands[0] > stands[1]
