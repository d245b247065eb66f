"""Does a docking port dock more often than it is qualified for?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.counters import joints
from mplan.checks.counters.joints import Cycle, Docking
from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.scenario.figures import counted
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield each element whose port docks more often than its docking_cycles, once.

    What it docked as part of a ship launched on its own, before it was met, counts.
    """
    told: set[str] = set()
    for docking in (x for x in joints.dockings(flight) if not x.flown_by):
        for port in (docking.active, docking.target):
            if port.beyond and port.element not in told:
                told.add(port.element)
                yield _finding(docking, port, joints.dockings_of(flight, port.element))


def _finding(docking: Docking, port: Cycle, done: int) -> Finding:
    basis = f"elements.{port.element}.docking_cycles"
    return Finding(
        severity="stops the flight",
        check="docking cycles",
        event=docking.what,
        text=f"the docking port of the {plain(port.element)} docks {done} times and is qualified "
        f"for {port.qualified}",
        figures=counted(stated(port.qualified, basis), done, "dockings"),
        basis=basis,
        subject=(port.element,),
    )
