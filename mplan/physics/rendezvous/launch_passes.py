"""Launches into the plane of a craft that is in Earth orbit already.

Twice a day the turning Earth carries a launch site through that plane: on its way north and on its
way south. The orbit below the target's gains on it, and its node turns faster (J2), so that the
plane is aimed to agree when the two meet, not at insertion.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import asin, cos, pi

from mplan.physics.arcs.orbit import EarthOrbit
from mplan.physics.arcs.parking import Parking
from mplan.physics.bodies import earth
from mplan.physics.constants import DEG
from mplan.physics.rendezvous.impulses import NoMeeting
from mplan.physics.rendezvous.phasing import catch_up

TURNS = 10  # of plane and wait, each worked out with the other; some settle it to a second
ROUGHLY = 4  # of them find the day


@dataclass(frozen=True)
class Orbiting:
    """A craft that went to its circular orbit with a lift-off at `lift_off` [TDB s]."""

    parking: Parking
    lift_off: float

    @property
    def insertion(self) -> float:
        """When it reached its orbit [TDB s]."""
        return self.lift_off + self.parking.site.climb

    def node(self, t: float) -> float:
        """Return the right ascension [rad, true of date] of its ascending node at `t` [TDB s]."""
        return self.parking.node(self.lift_off) + self.parking.node_rate * (t - self.insertion)

    def argument(self, t: float) -> float:
        """Return its argument of latitude [rad] at `t` [TDB s]."""
        return self.parking.insertion_argument() + self.parking.rate * (t - self.insertion)

    def at(self, t: float) -> EarthOrbit:
        """Return its state at `t` [TDB s]."""
        return EarthOrbit(t, *self.parking.state(self.lift_off, t - self.insertion))


@dataclass(frozen=True)
class LaunchPass:
    """A launch into the plane of another craft, and how it catches up with it.

    `northward` on the pass on which the site goes north through the plane. `phase` [rad] is how far
    the target is ahead at insertion, `wait` [s] how long the craft goes round until a rendezvous
    can begin.
    """

    chaser: Orbiting
    target: Orbiting
    northward: bool
    phase: float
    wait: float

    @property
    def begins(self) -> float:
        """When the rendezvous can begin [TDB s]."""
        return self.chaser.insertion + self.wait

    @property
    def azimuth(self) -> float:
        """Azimuth of the plane over the pad [rad]."""
        return self.chaser.parking.site.azimuth


def azimuths(latitude: float, inclination: float) -> tuple[float, float]:
    """Return the azimuths [rad] of a plane of an `inclination` over a site, north- and southward.

    cos i = cos(latitude) sin(azimuth) (Vallado 2013, ch. 6), `latitude` geodetic [rad]. NoMeeting
    where the site never comes into such a plane.
    """
    geocentric = earth.geocentric_latitude(latitude)
    sine = cos(inclination) / cos(geocentric)
    if abs(sine) > 1.0:
        raise NoMeeting(
            f"the launch site at {abs(latitude) / DEG:.1f} deg never comes into a plane inclined "
            f"{inclination / DEG:.1f} deg"
        )
    return asin(sine), pi - asin(sine)


def launch_passes(parking: Parking, target: Orbiting, lead: float) -> Iterator[LaunchPass]:
    """Yield the two launches of the day from `parking.t` [TDB s] on, northward and southward.

    `parking` has the site, climb and radius of the craft that is launched; its azimuth is found.
    The target is to be `lead` [rad] ahead when the rendezvous begins.
    """
    inclination = target.parking.site.inclination
    for northward, azimuth in zip(
        (True, False), azimuths(parking.site.latitude, inclination), strict=True
    ):
        own = replace(parking, site=replace(parking.site, azimuth=azimuth))
        yield _launch(own, target, lead, northward=northward)


def _launch(own: Parking, target: Orbiting, lead: float, *, northward: bool) -> LaunchPass:
    wait, phase = 0.0, 0.0
    chaser = Orbiting(own, own.t)
    gains = own.rate - target.parking.rate
    for turn in range(TURNS):
        met = chaser.insertion + wait
        chaser = Orbiting(own, own.lift_off_for(target.node(met) - own.node_rate * wait))
        there = chaser.insertion
        phase = (target.argument(there) - chaser.argument(there) + pi) % (2.0 * pi) - pi
        # First the earliest wait; then one near it, or none and a whole turn would take turns.
        before, near = wait, wait if turn >= ROUGHLY else 0.0
        wait = catch_up(phase - lead, gains, near)
        if abs(wait - before) < 1.0:
            break
    return LaunchPass(chaser, target, northward, phase, wait)
