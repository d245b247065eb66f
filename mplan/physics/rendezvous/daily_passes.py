"""Every launch of some days into the plane of a craft that waits in Earth orbit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mplan.physics.arcs.parking import Parking
from mplan.physics.constants import DAY, HOUR, MU_EARTH
from mplan.physics.rendezvous.launch_passes import LaunchPass, Orbiting, launch_passes
from mplan.physics.rendezvous.lead import required_lead
from mplan.physics.rendezvous.terms import Terms

APART = 12.0 * HOUR  # passes northward, and those southward, come 23 to 24 h apart


def daily_passes(
    own: Parking, target: Orbiting, terms: Terms, days: float
) -> tuple[LaunchPass, ...]:
    """Return the launches of `days` after the target's insertion, both passes, in their order.

    `own` has site, climb and radius of the craft that is launched. NoMeeting where its site never
    comes into the target's plane, or nothing gains on it.
    """
    lead = required_lead(terms, own.radius, own.radius, target.parking.radius, MU_EARTH)
    found = (x for side in (True, False) for x in _of_side(own, target, lead, days, northward=side))
    return tuple(sorted(found, key=lambda x: x.chaser.lift_off))


def _of_side(
    own: Parking, target: Orbiting, lead: float, days: float, *, northward: bool
) -> Iterator[LaunchPass]:
    """Yield the launches of one side, each looked for from half a day after the last."""
    begin, end = target.insertion, target.insertion + days * DAY
    while True:
        found = launch_passes(replace(own, t=begin), target, lead)
        each = next(x for x in found if x.northward == northward)
        if each.chaser.lift_off > end:
            return
        yield each
        begin = each.chaser.lift_off + APART
