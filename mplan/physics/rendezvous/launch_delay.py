"""A launch that leaves the pad before or after its time into the plane of the craft to be met.

Earth goes on turning, and the pad leaves the plane. The azimuth is then the one whose plane lies
nearest to the target's; what is left between the two is turned away in orbit, where they cross.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, cos, pi, sin

import numpy as np

from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import earth
from mplan.physics.constants import MU_EARTH
from mplan.physics.rendezvous.launch_passes import LaunchPass, Orbiting
from mplan.physics.rendezvous.lead import required_lead
from mplan.physics.rendezvous.meeting import Meeting, meet
from mplan.physics.rendezvous.phasing import catch_up
from mplan.physics.rendezvous.relative import angle_between, phase_angle
from mplan.physics.rendezvous.terms import Terms
from mplan.physics.vectors import cross, unit

TURNS = 8  # of plane and wait, each worked out with the other


@dataclass(frozen=True)
class DelayedLaunch:
    """A launch `delay` [s] after the one into the plane, and the rendezvous flown from it."""

    delay: float
    launch: LaunchPass
    flown: Meeting

    @property
    def between_planes(self) -> float:
        """Angle [rad] between the two planes when the rendezvous begins."""
        return angle_between(self.flown.active, self.flown.target)

    @property
    def delta_v(self) -> float:
        """All burns of the rendezvous [m/s]."""
        return self.flown.total

    @property
    def duration(self) -> float:
        """Time [s] from lift-off to contact."""
        chaser = self.launch.chaser
        return self.launch.begins - chaser.lift_off + self.flown.duration


def flown_after(planned: LaunchPass, terms: Terms, delay: float) -> DelayedLaunch:
    """Return what becomes of a launch that is `delay` [s] late, or early where that is below zero.

    NoMeeting where the rendezvous does not come about.
    """
    launch = planned if delay == 0.0 else _late(planned, terms, planned.chaser.lift_off + delay)
    ours, theirs = (each.at(launch.begins) for each in (launch.chaser, launch.target))
    return DelayedLaunch(delay, launch, meet(ours, theirs, terms))


def _late(planned: LaunchPass, terms: Terms, lift_off: float) -> LaunchPass:
    own, target, wait = planned.chaser.parking, planned.target, planned.wait
    low, high = own.radius, target.parking.radius
    lead = required_lead(terms, low, low, high, MU_EARTH)
    chaser, gains = planned.chaser, own.rate - target.parking.rate
    for _ in range(TURNS):
        met = chaser.insertion + wait
        node = target.node(met) - own.node_rate * wait
        own = replace(own, site=replace(own.site, azimuth=_nearest(target, node, own, lift_off)))
        chaser = Orbiting(own, lift_off)
        met = chaser.insertion + wait
        # Seen in the target's plane: from nodes that differ, arguments of latitude do not compare.
        gap = phase_angle(chaser.at(met), target.at(met)) + gains * wait
        before, wait = wait, catch_up(gap - lead, gains, near=wait)
        if abs(wait - before) < 1.0:
            break
    phase = (lead + gains * wait + pi) % (2.0 * pi) - pi  # at insertion, in the planes as they meet
    return LaunchPass(chaser, target, planned.northward, phase, wait)


def _nearest(target: Orbiting, node: float, own: Parking, lift_off: float) -> float:
    """Return the azimuth [rad] over the pad of the plane nearest to the target's, at a `node`.

    Its normal is the target's without its part along the pad's direction, all in axes of date.
    """
    latitude = earth.geocentric_latitude(own.site.latitude)
    east_of, i = own.longitude(lift_off), target.parking.site.inclination
    pad = np.array([cos(latitude) * cos(east_of), cos(latitude) * sin(east_of), sin(latitude)])
    normal = np.array([sin(i) * sin(node), -sin(i) * cos(node), cos(i)])
    heading = cross(unit(normal - (normal @ pad) * pad), pad)
    east = np.array([-sin(east_of), cos(east_of), 0.0])
    return atan2(float(heading @ east), float(heading @ cross(pad, east)))
