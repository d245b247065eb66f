"""The explosion of a stack on its pad, as an escape from there meets it: an estimate."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.contingencies.tower_escape import TowerEscape
from mplan.physics.climb import blast
from mplan.scenario import Scenario
from mplan.vehicle import escape


def on_the_pad(
    scenario: Scenario, flown: TowerEscape, reach: Sequence[float]
) -> tuple[float, list[float]]:
    """Return the fireball's radius [m], and when the shock comes to distances [m].

    Times [s] count from the tower's ignition; the stack explodes as late as its warning allows.
    """
    radius, _ = blast.fireball(flown.propellant)
    warning = escape.stated_motor(scenario).warning
    return radius, [warning + blast.arrival(at, flown.tnt) for at in reach]
