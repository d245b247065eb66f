"""How long the ways out of a point at the Moon take, nothing remembered. Shown, not asserted."""

from __future__ import annotations

import pytest

from mplan.contingencies.ways_out import coming_down, every, lost_decides
from mplan.contingencies.ways_out.at_the_moon import lift_off, now, return_targets, to_the_ship
from mplan.contingencies.ways_out.on_the_way_home import sooner
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.physics.arcs import nbody

POINTS = {  # a place in the mission: the first event of a name, a share of it, and the cabin
    "in lunar orbit": ("rest", 0.3, "crew_module"),
    "while the lander is away": ("stay", 0.3, "crew_module"),
    "braking": ("powered descent", 0.5, "ascent_stage"),
    "on the Moon": ("stay", 0.3, "ascent_stage"),
    "in the rendezvous": ("rendezvous", 0.1, "ascent_stage"),
    "on the way home": ("transearth coast", 0.1, "crew_module"),
    "in the air": ("splashdown", 0.1, "crew_module"),
}


@pytest.mark.parametrize("place", POINTS)
def test_ways_out_of_a_point(benchmark, landing_plan, place):
    """All that is left once the mission is called off there."""
    flight = landing_plan.flight
    begins, share, cabin = POINTS[place]
    each = next(x for x in flight.passages if x.moment.event.startswith(begins))
    span = each.after.elapsed - each.before.elapsed
    point = CabinPoint(flight, cabin, each.before.elapsed + share * span)

    def forget() -> None:
        for kept in (
            nbody._lately,
            return_targets._homed,
            return_targets.guessed,
            lift_off.lift_off,
            to_the_ship.meetings,
            now._state_at,
            sooner._hastened,
            coming_down._down,
            lost_decides._found,
            every._once_docked,
        ):
            kept.cache_clear()

    def ways():
        return every.ways_out(point, "called off")

    assert benchmark.pedantic(ways, setup=forget, rounds=10, warmup_rounds=2)
