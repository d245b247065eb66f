"""How often docking ports dock of the times that they are qualified for."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.counters import joints
from mplan.checks.limits.row import LimitRow
from mplan.flight.record import Flight
from mplan.scenario.wording import plain


def rows(flight: Flight) -> Iterator[LimitRow]:
    """Yield the dockings of each port whose number is stated."""
    ports = [x for each in joints.dockings(flight) for x in (each.active, each.target)]
    done = {x.element: x for x in ports if x.qualified is not None}  # the last of each
    for each in done.values():
        name = f"port of {plain(each.element)}"
        yield LimitRow("docking cycles", name, each.number, each.qualified, "", 0)
