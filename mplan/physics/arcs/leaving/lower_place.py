"""Where on an ellipse a burn home is less, told from one that was flown, without further arcs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.physics.arcs.leaving.joined_conics import (
    PLACES,
    TURNS,
    ReturnPlane,
    departures,
    through_the_ground,
)
from mplan.physics.arcs.leaving.least_departure import FarVelocities
from mplan.physics.arcs.lunar_orbit import LunarOrbit, places_ahead
from mplan.physics.vectors import length


class LowerPlace(NamedTuple):
    """A place so many `places` on, at `t` [TDB s], and the `burn` [m/s] from there."""

    places: int
    t: float
    burn: np.ndarray


def lower_places(
    here: LunarOrbit, burn: np.ndarray, ahead: float, plane: ReturnPlane | None
) -> Iterator[LowerPlace]:
    """Yield the place up to which burns become less, on (`ahead` 1.0) or back (-1.0); or none.

    By the hyperbolas from each place that have the speeds far out of the `burn` [m/s] flown from
    `here`, in every plane or in the given one: what joined conics leave out changes little from
    place to place.
    """
    velocities = FarVelocities(here)
    try:
        told = velocities.of(burn)
    except ValueError:
        return
    waits, r, v = places_ahead(here, PLACES)
    if ahead < 0.0:  # the last place is where we are
        waits, r, v = (np.roll(x[::-1], -1, axis=0) for x in (waits - here.period, r, v))
    ways = np.tile(told, (1 if plane else TURNS.size, 1))
    ways[:, 2] += 0.0 if plane else TURNS
    leaving = departures(r, velocities.far_out(ways))
    burns = leaving - v[:, None, :]
    costs = np.linalg.norm(burns, axis=-1)
    costs[through_the_ground(r[:, None, :], leaving)] = np.inf
    least = np.min(costs, axis=-1)
    rising = np.flatnonzero(least[1:] >= least[:-1])
    on = int(rising[0]) if rising.size else 0
    if least[on] < length(burn):
        yield LowerPlace(on + 2, here.t + float(waits[on]), burns[on, np.argmin(costs[on])])
