"""Breaking off the landing: the margin along the descent, by ascent and by descent stage."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from mplan.flight import lunar_abort
from mplan.flight.lunar_abort import Abort
from mplan.plan import Plan

POINTS = 24


class Aborts(NamedTuple):
    """Aborts along a descent, in order, by either stage; `last` is the ascent stage's last one."""

    ascent: tuple[Abort, ...]
    descent: tuple[Abort, ...]
    last: Abort | None

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


def along(plan: Plan, count: int = POINTS) -> Aborts:
    """Return aborts at about `count` moments from ignition to touchdown; none without a descent."""
    flight = plan.flight
    if flight.end.descent is None:
        return Aborts((), (), None)
    points = lunar_abort.moments(flight.end.descent, count, flight.end.descent.duration)
    return Aborts(
        lunar_abort.by_ascent_stage(flight, points),
        lunar_abort.by_descent_stage(flight, points),
        lunar_abort.last(flight),
    )
