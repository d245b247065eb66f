"""What midcourse corrections cost, by when they are made."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.flight import midcourse
from mplan.physics.arcs.dispersion import Correction
from mplan.plan import Plan


def outbound(plan: Plan, times: Sequence[float]) -> tuple[Correction, ...]:
    """Return what one correction on the way to the Moon costs at each of `times` [s].

    Each time stands for itself: one correction, made then. ValueError where the scenario states
    no [errors].
    """
    return _each(plan, midcourse.outbound_start(plan.flight.end), times)


def homeward(plan: Plan, times: Sequence[float]) -> tuple[Correction, ...]:
    """Return what one correction on the way home costs at each of `times` [s]; see `outbound`."""
    return _each(plan, midcourse.homeward_start(plan.flight.end), times)


def _each(plan: Plan, start: midcourse.Start, times: Sequence[float]) -> tuple[Correction, ...]:
    if plan.scenario.errors is None:
        raise ValueError("the scenario states no [errors] to correct")
    return tuple(midcourse.corrections(plan.scenario, start, [x])[0] for x in times)
