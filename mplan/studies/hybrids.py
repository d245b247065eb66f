"""Hybrid arcs: off on a free return, and later a burn that leaves it for the target perilune.

Until that burn a ship whose engine fails comes home by itself. What it buys is a lighter capture
or another plane at the Moon than a free return allows; what it costs is the burn.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import NamedTuple

import numpy as np

from mplan.flight.translunar import arrival_plane
from mplan.physics import constants as c
from mplan.physics.arcs import bplane, nbody
from mplan.physics.arcs.outbound import Outbound, aim_miss
from mplan.physics.bodies import selenography
from mplan.physics.circumlunar import free_return
from mplan.physics.targeting import Scaling, solve
from mplan.plan import Plan

AIM = Scaling(
    step=np.full(3, 0.01),  # m/s
    limit=np.full(3, 50.0),
    tolerance=np.array([100.0, 100.0]),  # m at the Moon
)


class Hybrid(NamedTuple):
    """A free return left `after` [s] from injection: burns in [m/s], times in [s]."""

    after: float
    injection: float
    departure: float
    translunar_time: float
    arrival_speed: float  # m/s against the Moon, at perilune

    @property
    def total(self) -> float:
        """Injection and departure together [m/s]."""
        return self.injection + self.departure


def leave_free_return(plan: Plan, altitude: float, times: Sequence[float]) -> tuple[Hybrid, ...]:
    """Return the hybrids that leave a free return past `altitude` [m] at each of `times` [s].

    They go to the plan's own perilune and plane, with the least burn, arriving when they may.
    NoArc where there is no such free return; times from which no burn leads there are omitted.
    """
    scenario, end = plan.scenario, plan.flight.end
    flown, _ = free_return.find_free_return(
        end.outbound.parking,
        revolutions=scenario.orbits.parking_revolutions,
        perilune=c.R_MOON + altitude,
        entry_angle=scenario.orbits.entry_angle,
        plane=arrival_plane(scenario, scenario.events),
        side=scenario.dates.side,
    )
    found = []
    for after in times:
        with suppress(ArithmeticError):
            found.append(_left(plan, flown, after))
    return tuple(found)


def _left(plan: Plan, flown: Outbound, after: float) -> Hybrid:
    scenario = plan.scenario
    there = nbody.fly_arc(flown.r, flown.v, flown.injection, after)
    perilune = float(np.linalg.norm(plan.flight.end.outbound.perilune.lunar_r))

    plane, pole = arrival_plane(scenario, scenario.events), selenography.lunar_pole(there.t)

    def arrive(burn: np.ndarray) -> nbody.Arrival:
        return nbody.fly_arc(there.r, there.v + burn, there.t, 8 * c.DAY, "perilune")

    def miss(burn: np.ndarray) -> np.ndarray:
        end = arrive(burn)
        incoming = bplane.asymptote(end.lunar_r, end.lunar_v, c.MU_MOON)
        return aim_miss(incoming, perilune, plane(incoming, end.t), pole)

    burn = solve(miss, np.zeros(3), AIM)
    end = arrive(burn)
    return Hybrid(
        after=after,
        injection=flown.delta_v,
        departure=float(np.linalg.norm(burn)),
        translunar_time=end.t - flown.injection,
        arrival_speed=float(np.linalg.norm(end.lunar_v)),
    )
