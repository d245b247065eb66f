"""What the calculations of `states` return: records that print themselves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import degrees

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import earth
from mplan.physics.twobody import period
from mplan.transfer_results import Printed, StateVector, lunar_altitude


@dataclass(frozen=True, eq=False, repr=False)
class FlownCoast(Printed):
    """A coast: where from, the states at its end about Earth (GCRS) and Moon, what ended it."""

    start: StateVector
    end: StateVector
    end_at_moon: StateVector
    stop: str

    @property
    def duration(self) -> float:
        """How long it lasted [s]."""
        return self.end.t - self.start.t

    @property
    def flight_path_angle(self) -> float:
        """Angle [rad] of the geocentric velocity over the horizontal at the end."""
        sine = float(self.end.r @ self.end.v) / (self.end.distance * self.end.speed)
        return float(np.arcsin(sine))

    def _facts(self) -> Iterator[tuple[str, str]]:
        latitude, longitude, altitude = earth.geodetic(self.end.r, self.end.t)
        yield "ended at", f"{self.stop}, after {self.duration / c.HOUR:.3f} h"
        yield "from Earth's centre", _far(self.end)
        over = f"{altitude / 1e3:,.3f} km at {degrees(latitude):.3f} N {degrees(longitude):.3f} E"
        yield "over Earth's ellipsoid", over
        yield "Earth flight-path angle", f"{degrees(self.flight_path_angle):.3f} deg"
        yield "from the Moon's centre", _far(self.end_at_moon)
        yield "over the Moon's sphere", lunar_altitude(self.end_at_moon)
        yield "state at the end", repr(self.end)
        yield "about the Moon", repr(self.end_at_moon)


@dataclass(frozen=True, eq=False, repr=False)
class FlownBurn(Printed):
    """A burn as flown: states in the frame of `start`, `duration` [s], masses [kg].

    `delta_v` [m/s] is the rocket equation's; `along` [m/s] what of it lay along the velocity, the
    rest having turned it.
    """

    start: StateVector
    end: StateVector
    duration: float
    mass_before: float
    mass: float
    delta_v: float
    along: float

    @property
    def by_steering(self) -> float:
        """What of the delta-v [m/s] pointed beside the velocity, and turned it: below zero."""
        return abs(self.along) - self.delta_v

    @property
    def by_gravity(self) -> float:
        """What gravity did to the speed meanwhile [m/s]: below zero going up."""
        return self.end.speed - self.start.speed - self.along

    @property
    def propellant(self) -> float:
        """Propellant burned [kg]."""
        return self.mass_before - self.mass

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield "delta-v", f"{self.delta_v:,.2f} m/s, {self.along:,.2f} m/s of it along the velocity"
        yield "duration", f"{self.duration:,.2f} s"
        yield "propellant", f"{self.propellant:,.1f} kg of {self.mass_before:,.1f} kg at ignition"
        yield "speed", f"{self.start.speed:,.2f} m/s before, {self.end.speed:,.2f} m/s after"
        yield "by gravity", f"{self.by_gravity:+,.2f} m/s of it"
        yield "state at cut-off", repr(self.end)


@dataclass(frozen=True, eq=False, repr=False)
class ParkingOrbit(Printed):
    """An orbit about Earth at the moment of `state`, angles [rad] to the true equator of date.

    `a` [m] and `e`; `node` is the right ascension of the ascending node, `perigee_argument` counts
    from it, `true_anomaly` from perigee.
    """

    state: StateVector
    a: float
    e: float
    inclination: float
    node: float
    perigee_argument: float
    true_anomaly: float

    @property
    def perigee_altitude(self) -> float:
        """Height of perigee [m] over the equatorial radius, as orbits are published."""
        return self.a * (1.0 - self.e) - c.R_EARTH

    @property
    def apogee_altitude(self) -> float:
        """Height of apogee [m] over the equatorial radius."""
        return self.a * (1.0 + self.e) - c.R_EARTH

    @property
    def c3(self) -> float:
        """Twice the energy [m2/s2]: below zero for what comes round again."""
        return -c.MU_EARTH / self.a

    @property
    def flies_into_air(self) -> bool:
        """Tell whether the perigee lies below 121.92 km: such an orbit does not last."""
        return self.perigee_altitude < c.ENTRY_INTERFACE

    @property
    def period(self) -> float:
        """Time of a revolution [s], of Kepler's motion."""
        return period(self.a, c.MU_EARTH)

    def _facts(self) -> Iterator[tuple[str, str]]:
        low, high = self.perigee_altitude / 1e3, self.apogee_altitude / 1e3
        yield "perigee and apogee", f"{low:,.3f} km and {high:,.3f} km over 6,378.137 km"
        if self.flies_into_air:
            yield "", "the perigee lies in the air: this orbit does not last"
        yield "semi-major axis", f"{self.a / 1e3:,.3f} km, eccentricity {self.e:.6f}"
        yield "C3", f"{self.c3 / 1e6:,.4f} km2/s2"
        yield "period", f"{self.period / c.MINUTE:.4f} min"
        yield "inclination", f"{degrees(self.inclination):.4f} deg to the true equator of date"
        yield "ascending node", f"{degrees(self.node):.4f} deg right ascension"
        yield "argument of perigee", f"{degrees(self.perigee_argument):.4f} deg"
        yield "true anomaly", f"{degrees(self.true_anomaly):.4f} deg"
        yield "state", repr(self.state)


def _far(state: StateVector) -> str:
    return f"{state.distance / 1e3:,.3f} km, {state.speed:,.1f} m/s"
