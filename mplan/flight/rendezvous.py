"""From the insertion orbit to the ship: an estimate until the rendezvous is flown.

The two burns that raise perilune and apolune to the ship's circle, and the scenario's allowance
for the terminal phase, braking and docking. It is given one revolution of the ship, about two
hours, as the short flown ones took (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence

from mplan.flight import lunar_orbit
from mplan.flight.state import Need, State
from mplan.physics import constants as c
from mplan.physics.twobody import circular_speed, speed
from mplan.scenario import Burn, Event

REVOLUTIONS = 1.0
ESTIMATE = "two raising burns, plus allowances.rendezvous_and_docking"


def rendezvous(state: State, burn: Burn, ahead: Sequence[Event]) -> Need:
    """Return the burns that bring the ascent stage from its insertion orbit to the ship."""
    ship = lunar_orbit.radius(state.scenario)
    orbits = state.scenario.orbits
    low, high = c.R_MOON + orbits.ascent_perilune, c.R_MOON + orbits.ascent_apolune
    raise_perilune = speed(high, (high + ship) / 2.0, c.MU_MOON) - speed(
        high, (low + high) / 2.0, c.MU_MOON
    )
    join = circular_speed(ship, c.MU_MOON) - speed(ship, (high + ship) / 2.0, c.MU_MOON)
    then = state.later(REVOLUTIONS * lunar_orbit.revolution(state.scenario))
    losses = {"docking": state.scenario.allowances.rendezvous_and_docking}
    return Need(abs(raise_perilune) + abs(join), state, then, losses, estimate=ESTIMATE)
