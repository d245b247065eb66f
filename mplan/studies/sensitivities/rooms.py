"""What a flight leaves up to each of its limits, and by what that is off from flight to flight.

What is counted in whole numbers, starts and dockings, no small change moves.
"""

from __future__ import annotations

from collections.abc import Mapping

from mplan.checks import limits
from mplan.checks.limits import Left
from mplan.flight.record import Flight

COUNTED = ("starts", "docking cycles")
# By what a figure is off from flight to flight, by unit: the most that was measured over all limits
# of a landing, dry mass varied by 1 to 3 kg, and twice that.
NOISES = {
    "s": 1e-5,
    "kg": 2e-5,
    "kWh": 1e-7,
    "d": 1e-8,
    "deg/s2": 1e-6,
    "g": 1e-8,
    "m/s2": 1e-7,
    "MW/m2": 1e-8,
    "MJ/m2": 2e-7,
}
NOISE = 1e-9  # of what is not flown, as heights, and of what was not measured


def of(flight: Flight) -> Mapping[str, Left]:
    """Return what is left by the name of its limit, as far as the flight has come."""
    return {x.name: x for x in limits.left.of(flight) if x.kind not in COUNTED}


def noise(left: Left) -> float:
    """Return by what it is off from flight to flight, in its unit."""
    return NOISES.get(left.unit, NOISE)


def in_brief(flight: Flight) -> tuple[str, ...]:
    """Return the names of those that a brief tells: of its table's kinds the ones nearest."""
    nearest = {limits.left.named(x) for x in limits.tightest(limits.of(flight))}
    return tuple(name for name, x in of(flight).items() if not x.kind or name in nearest)
