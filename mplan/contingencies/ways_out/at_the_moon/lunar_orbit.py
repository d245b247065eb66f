"""Ways out in lunar orbit: return to Earth at any hour, by each engine that is there."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.contingencies.ways_out.at_the_moon.home_from_orbit import Leaving, ways_home
from mplan.contingencies.ways_out.at_the_moon.now import state_at
from mplan.contingencies.ways_out.burners import lost_at
from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut


def ways(point: CabinPoint, failure: FailureName) -> Iterator[WayOut]:
    """Yield the ways out of a cabin that goes round the Moon."""
    state, before = state_at(point), point.before
    craft = state.joined(point.cabin)
    yield from ways_home(
        Leaving(
            flight=point.flight,
            state=state,
            craft=craft,
            orbit=before.orbit,
            stores=before,
            called=point.elapsed,
            lost=lost_at(point, failure),
        )
    )
