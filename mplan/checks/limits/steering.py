"""How much of its control authority each phase of a flight requires."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.limits.row import LimitRow
from mplan.checks.phases import phases
from mplan.flight.record import Flight
from mplan.physics.constants import DEG
from mplan.vehicle.control.contribution import AXES, WORDS


def rows(flight: Flight) -> Iterator[LimitRow]:
    """Yield the tightest moment of each phase about each axis, where it is worked out."""
    for phase in phases(flight):
        for axis in AXES:
            at = phase.tightest(axis)
            if phase.controller is not None and at is not None:
                required, available = (each / DEG for each in at.both(axis))
                then = "" if phase.name.startswith("after ") else "at "
                name = f"{WORDS[axis]} {then}{phase.name}"
                note = "estimate"
                yield LimitRow(
                    "control authority", name, required, available, "deg/s2", 3, note=note
                )
