"""Which latitudes of splash a return can be aimed at, and what each costs.

For the plan's time of flight, by the tilt of the plane home and by the ground the entry covers:
the plane alone moves the splash little, the entry's range past the point opposite to the Moon
makes it tell.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from mplan.flight.entry import DOWNRANGE, aimed_range
from mplan.flight.state import existing
from mplan.physics.arcs import recovery
from mplan.physics.arcs.lunar_orbit import LunarOrbit, circular, coast
from mplan.plan import Plan

DOWNRANGES = (1.8e6, DOWNRANGE, 3.2e6, 4.0e6)  # m: what lift can make of it, common practice

HAIR = 1e-9  # rad


class Reach(NamedTuple):
    """The splashes of a `downrange` [m]: by tilt [rad] of the plane, latitude [rad], burn [m/s]."""

    downrange: float
    family: recovery.Family

    @property
    def lowest(self) -> float:
        """The least burn of all planes [m/s]."""
        return float(self.family.burns.min())

    def cost(self, latitude: float) -> float | None:
        """Return what a latitude [rad] costs beyond the least burn [m/s]; None out of reach."""
        low, high = self.family.reach
        if not low - HAIR <= latitude <= high + HAIR:
            return None
        tilt, _ = self.family.cheapest_to(latitude)
        return float(np.interp(tilt, self.family.tilts, self.family.burns)) - self.lowest


def reaches(plan: Plan, downranges: Sequence[float] | None = None) -> tuple[Reach, ...]:
    """Return the latitudes in reach of the plan's return, for each of `downranges` [m].

    Those are some usual ones and the plan's own, if none are given.
    Burn about the plan's revolution, time of flight and entry angle as flown; the burns are good
    to 5 m/s, never too low, the latitudes to 0.1 deg. () for a mission that no burn sends home.
    NoArc where a plane leads none home.
    """
    home = plan.flight.end.homeward
    if home is None:
        return ()
    orbit = orbit_before_return(plan)
    duration, angle = home.interface.t - home.t, plan.scenario.orbits.entry_angle
    asked = downranges or sorted({*DOWNRANGES, aimed_range(plan.scenario)})
    return tuple(Reach(x, recovery.family(orbit, duration, angle, x)) for x in asked)


def orbit_before_return(plan: Plan) -> LunarOrbit:
    """Return the lunar orbit half a revolution before the return burn."""
    leaving = circular(existing(plan.flight.end.homeward, "a way home").leaving)
    return coast(leaving, -leaving.period / 2.0)
