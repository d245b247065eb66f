"""When the mission's main ship is likely to land, for a lander that is sent ahead of it."""

from __future__ import annotations

from contextlib import suppress
from math import pi, sqrt

from mplan.flight import launch, lunar_orbit
from mplan.flight.ships.joining import AT_THE_MOON
from mplan.physics import constants as c
from mplan.physics.arcs import outbound
from mplan.physics.arcs.injection import level
from mplan.scenario import Scenario
from mplan.scenario.events import has_burn

CAPTURE = "lunar-orbit insertion"
HALF_A_DAY = c.DAY / 2.0


def landing(waits: Scenario) -> float | None:
    """Return about when [TDB s] the main ship's crew come down in a lander that is sent ahead.

    None for a ship that goes to no lunar orbit by itself, or whose mission does not land. The way
    to the Moon is that of a usual climb along the planned azimuth; the wait for the phase, which
    nobody knows before the lander is there, is taken as half of the longest.
    """
    main = waits.main
    alone = has_burn(waits.events, CAPTURE)
    if main is None or not alone or not any(event.do == "land" for event in main.events):
        return None
    arrival = launch.midnight(main) + HALF_A_DAY + launch.translunar_time(main)
    orbit = launch.parking(
        main, launch.USUAL_CLIMB, launch.USUAL_DOWNRANGE, launch.planned_plane(main)
    )
    with suppress(ArithmeticError):
        arrival = outbound.target_outbound(
            orbit,
            revolutions=main.orbits.parking_revolutions,
            time_of_flight=launch.translunar_time(main),
            perilune=lunar_orbit.radius(main),
            plane=level(lunar_orbit.sense(main)),
            side=main.dates.side,
        ).perilune.t
    meets = has_burn(main.events, AT_THE_MOON)
    phasing = _half_a_round(main, waits) if meets else 0.0
    return arrival + phasing + lunar_orbit.time_to_landing(main, main.events)


def _half_a_round(one: Scenario, other: Scenario) -> float:
    """Return half the time [s] in which one circle gains a turn on the other; at most a day."""
    rates = (sqrt(c.MU_MOON / lunar_orbit.radius(x) ** 3) for x in (one, other))
    gain = abs(next(rates) - next(rates))
    return min(c.DAY, pi / gain) if gain else 0.0
