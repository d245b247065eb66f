"""Descent aborts: until when an engine can still bring the crew back to orbit.

The ascent stage parts from the descent stage and flies itself; or the descent stage carries both
up as far as its own propellant goes. Planning figures: an abort is a matter of crew safety, and
licensed practice decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from mplan.flight.record import Flight
from mplan.physics import constants as c
from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import SteadyThrust
from mplan.physics.landing.descent import DescentFlight
from mplan.physics.landing.descent_abort import SafeOrbit, abort_delta_v, dead_zone
from mplan.physics.rocket import delta_v
from mplan.physics.vectors import cross
from mplan.scenario import heights
from mplan.vehicle.ledger import thrust

POINTS = 24


class DescentAbort(NamedTuple):
    """A descent abort called `t` [s] after ignition; heights [m], speeds [m/s].

    `required` is inf where there is no way back. `dead_zone` is the height below which the ground
    comes before the fall is stopped.
    """

    t: float
    altitude: float
    sink: float
    required: float
    available: float
    dead_zone: float

    @property
    def margin(self) -> float:
        """What would be left [m/s]; -inf where there is no way back."""
        return self.available - self.required


class DescentAborts(NamedTuple):
    """Aborts along a descent, in order, by either stage; `last` is the ascent stage's last one."""

    ascent: tuple[DescentAbort, ...]
    descent: tuple[DescentAbort, ...]
    last: DescentAbort | None

    @property
    def descent_ends(self) -> float:
        """Time [s after ignition] from which the descent stage alone does not come back.

        Straight between the two aborts about it.
        """
        for x, then in pairwise(self.descent):
            if x.margin >= 0.0 > then.margin:
                share = x.margin / (x.margin - then.margin)
                return x.t + share * (then.t - x.t)
        return self.descent[-1].t if self.descent and self.descent[0].margin >= 0.0 else 0.0


def along_descent(flight: Flight, count: int = POINTS) -> DescentAborts:
    """Return aborts at about `count` points from ignition to touchdown; none without a descent."""
    descent = flight.end.descent
    if descent is None:
        return DescentAborts((), (), None)
    points = points_of(descent, count, descent.duration)
    return DescentAborts(
        by_ascent_stage(flight, points),
        by_descent_stage(flight, points),
        last_by_ascent_stage(flight),
    )


def points_of(descent: DescentFlight, count: int, until: float) -> list[int]:
    """Return about `count` points of a descent's track, evenly spread up to `until` [s]."""
    times = np.linspace(0.0, until, count)
    return sorted({int(np.argmin(np.abs(descent.track.t - t))) for t in times})


def by_ascent_stage(flight: Flight, points: Sequence[int]) -> tuple[DescentAbort, ...]:
    """Return aborts at `points` of the track by the ascent stage, whole, on its own engine.

    () for a mission without a flown descent.
    """
    descent, burn = flight.end.descent, flight.burn_of("lunar ascent")
    if descent is None or burn is None:
        return ()
    scenario = flight.scenario
    engine = scenario.elements[burn.element].engines[burn.engine]
    mass = burn.mass - scenario.mission.payload_up  # not yet aboard
    push = SteadyThrust(thrust(engine), engine.isp_vacuum, mass)
    there = delta_v(push.isp, mass, mass - burn.usable)
    staging = scenario.descent.staging_time
    return tuple(_abort(flight, descent, i, push, staging, there) for i in points)


def by_descent_stage(flight: Flight, points: Sequence[int]) -> tuple[DescentAbort, ...]:
    """Return aborts at `points` of the track by the descent stage, with no staging first."""
    descent, burn = flight.end.descent, flight.burn_of("powered descent")
    if descent is None or burn is None:
        return ()
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    found = []
    for i in points:
        mass = float(descent.track.mass[i])
        left = max(0.0, burn.usable - (burn.mass - mass))
        push = SteadyThrust(thrust(engine), engine.isp_vacuum, mass)
        there = delta_v(push.isp, mass, mass - left)
        found.append(_abort(flight, descent, i, push, 0.0, there))
    return tuple(found)


def last_by_ascent_stage(flight: Flight) -> DescentAbort | None:
    """Return the last point of the descent from which the ascent stage still comes back, or None.

    Looked for backwards from touchdown; between it and the ground lies the dead zone.
    """
    descent = flight.end.descent
    for i in range(0 if descent is None else len(descent.track.t) - 1, 0, -1):
        found = by_ascent_stage(flight, [i])
        if not found or found[0].margin >= 0.0:
            return next(iter(found), None)
    return None


def safe(flight: Flight) -> SafeOrbit:
    """Return the orbit that ends an abort: low enough, and as high as the ascent's own."""
    scenario = flight.scenario
    return SafeOrbit(
        c.R_MOON + scenario.descent.abort_perilune,
        heights.ascent_apsides(scenario)[1],
        c.R_MOON + scenario.site.elevation,
    )


def _abort(
    flight: Flight,
    descent: DescentFlight,
    i: int,
    push: SteadyThrust,
    staging: float,
    there: float,
) -> DescentAbort:
    place, velocity = descent.track.place[i], descent.track.velocity[i]
    still = (*place.tolist(), *(velocity + cross(np.array(descent.spin), place)).tolist())
    here, wanted = lt.local_state(still), safe(flight)
    deadly = dead_zone(-here.climb, staging, push, c.MU_MOON / wanted.ground**2)
    return DescentAbort(
        t=float(descent.track.t[i]),
        altitude=here.radius - wanted.ground,
        sink=-here.climb,
        required=abort_delta_v(still, push, staging, wanted),
        available=there,
        dead_zone=deadly,
    )
