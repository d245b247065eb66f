"""From a launch site to a circular parking orbit and round it to the injection point."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import cos, pi, sin, sqrt

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import earth
from mplan.physics.climb.launch_azimuth import over_ground
from mplan.physics.vectors import Vector


@dataclass(frozen=True)
class Site:
    """A launch: place (geodetic `latitude`, east `longitude`), the orbit's `azimuth` over it [rad].

    The azimuth is that of the orbit's plane in inertial space. `climb` [s] and `downrange`
    [rad, at Earth's centre] lead from lift-off to insertion.
    """

    latitude: float
    longitude: float
    azimuth: float
    climb: float
    downrange: float

    @property
    def launch_azimuth(self) -> float:
        """Azimuth over ground [rad] along which the pad is left for it."""
        return over_ground(self.azimuth, self.latitude)

    @cached_property
    def inclination(self) -> float:
        """Inclination of the orbit to the true equator [rad]."""
        return earth.inclination(self._geocentric, self.azimuth)

    @cached_property
    def insertion_argument(self) -> float:
        """Argument of latitude at insertion [rad]."""
        return earth.argument_of_latitude(self._geocentric, self.azimuth) + self.downrange

    @cached_property
    def node_behind(self) -> float:
        """How far east of the orbit's ascending node it lies [rad], along the equator."""
        return earth.node_behind(self._geocentric, self.azimuth)

    @property
    def _geocentric(self) -> float:
        return earth.geocentric_latitude(self.latitude)


@dataclass(frozen=True)
class Parking:
    """A circular orbit of mean `radius` [m], reached from `site` by a lift-off near `t` [TDB s].

    Earth's J2 turns its plane and hastens the craft (secular rates, Vallado 2013, sec. 9.6);
    the short-period ripple of some km is neglected.
    """

    site: Site
    radius: float
    t: float

    @cached_property
    def rate(self) -> float:
        """Angular rate [rad/s] from node to node."""
        return self._mean_rate * (1.0 + self._j2 * (3.0 - 4.0 * sin(self.site.inclination) ** 2))

    @cached_property
    def node_rate(self) -> float:
        """Turn of the ascending node [rad/s]."""
        return -self._mean_rate * self._j2 * cos(self.site.inclination)

    @property
    def _mean_rate(self) -> float:
        return sqrt(c.MU_EARTH / self.radius**3)

    @property
    def _j2(self) -> float:
        return 1.5 * c.J2_EARTH * (c.R_EARTH / self.radius) ** 2

    @cached_property
    def _sidereal_angle(self) -> float:
        return earth.sidereal_angle(self.t)

    def insertion_argument(self) -> float:
        """Return the argument of latitude [rad] at insertion."""
        return self.site.insertion_argument

    def node(self, lift_off: float) -> float:
        """Return the right ascension [rad, true of date] of the node for `lift_off` [TDB s]."""
        return self.longitude(lift_off) - self.site.node_behind

    def longitude(self, lift_off: float) -> float:
        """Return the launch site's right ascension [rad, true of date] at `lift_off` [TDB s]."""
        turned = (lift_off - self.t) * earth.SIDEREAL_RATE
        return self._sidereal_angle + turned + self.site.longitude

    def lift_off_for(self, node: float) -> float:
        """Return the first lift-off [TDB s] at or after `t` that gives a `node` [rad]."""
        return self.t + ((node - self.node(self.t)) % (2.0 * pi)) / earth.SIDEREAL_RATE

    def ahead(self, argument: float) -> float:
        """Return the argument [rad] as first reached after insertion, less than a turn on."""
        start = self.insertion_argument()
        return start + (argument - start) % (2.0 * pi)

    def coast(self, argument: float, revolutions: int) -> float:
        """Return the time [s] from insertion, over whole `revolutions`, on to an argument [rad].

        The argument counts on from insertion (see `ahead`), so that a place near insertion does
        not leap by a revolution when it moves a little.
        """
        return (argument - self.insertion_argument() + 2.0 * pi * revolutions) / self.rate

    def state(self, lift_off: float, after: float) -> tuple[np.ndarray, np.ndarray]:
        """Return GCRS position [m] and velocity [m/s] `after` [s] from insertion."""
        node = self.node(lift_off) + self.node_rate * after
        u, i = self.insertion_argument() + self.rate * after, self.site.inclination
        of_date = earth.true_equator_of_day(self.t)
        return (
            self.radius * np.array(_ahead(node, i, u)) @ of_date,
            sqrt(c.MU_EARTH / self.radius) * np.array(_ahead(node, i, u + pi / 2.0)) @ of_date,
        )


def _ahead(node: float, inclination: float, argument: float) -> Vector:
    """Return the unit vector, true of date, at an argument of latitude [rad] in a plane [rad]."""
    east, north = cos(argument), sin(argument)
    level = north * cos(inclination)
    return (
        east * cos(node) - level * sin(node),
        east * sin(node) + level * cos(node),
        north * sin(inclination),
    )
