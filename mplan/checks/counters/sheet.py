"""All counters of a mission on one sheet."""

from __future__ import annotations

from dataclasses import dataclass

from mplan.checks.counters import joints, starts, thruster_tanks
from mplan.checks.counters.joints import CrewTransfer, Docking, Jettison
from mplan.checks.counters.owner import owner
from mplan.checks.counters.starts import CountedStart
from mplan.checks.counters.thruster_tanks import ThrusterTanks
from mplan.flight.record import Flight

__all__ = ["CounterSheet", "of", "owner"]


@dataclass(frozen=True)
class CounterSheet:
    """Everything that is counted, each in the order of time; propellant by element."""

    starts: tuple[CountedStart, ...]
    thruster_tanks: tuple[ThrusterTanks, ...]
    dockings: tuple[Docking, ...]
    crew_transfers: tuple[CrewTransfer, ...]
    jettisons: tuple[Jettison, ...]


def of(flight: Flight) -> CounterSheet:
    """Return the counters of a flight, with those of the ships launched on their own."""
    return CounterSheet(
        starts=starts.of(flight),
        thruster_tanks=thruster_tanks.of(flight),
        dockings=joints.dockings(flight),
        crew_transfers=joints.crew_transfers(flight),
        jettisons=joints.jettisons(flight),
    )
