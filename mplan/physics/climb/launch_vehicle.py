"""What climbs, from where and whereto: numbers alone, frozen, so that a climb can be remembered."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

from mplan.physics.bodies import earth
from mplan.physics.climb import drag
from mplan.physics.climb.launch_azimuth import over_ground
from mplan.physics.climb.weather import CALM, Weather
from mplan.physics.constants import G0


@dataclass(frozen=True)
class Motor:
    """All engines of one kind burning together: thrust [N] in vacuum and at sea level, Isp [s].

    `build_up` [s] is the time from ignition to full thrust, which rises evenly. Engines throttle
    down to `throttle_min` of full thrust, or, where that is 1, are shut down one by one.
    """

    count: int
    thrust: float
    thrust_sea_level: float
    isp: float
    build_up: float = 0.0
    throttle_min: float = 1.0

    @property
    def flow(self) -> float:
        """Mass flow at full thrust [kg/s]."""
        return self.thrust / (self.isp * G0)

    def at_full(self, since: float) -> float:
        """Return how long [s] full thrust gives what `since` [s] from ignition have given."""
        if since < self.build_up:
            return since**2 / (2.0 * self.build_up)
        return since - self.build_up / 2.0


@dataclass(frozen=True)
class Booster:
    """What burns beside a stage from its ignition on, and is dropped when it is empty.

    Masses [kg]: `propellant` it can use, `dropped` what then falls off. It never throttles. What
    falls has a `drag_area` [m2], times its drag coefficient; none, no drag. Its `bodies` are equal,
    have tanks of their own, and share all of that.
    """

    name: str
    motor: Motor
    propellant: float
    dropped: float
    drag_area: float = 0.0
    bodies: int = 1

    def burn_time(self, factor: float = 1.0) -> float:
        """Return the time [s] from ignition to burn-out at a `factor` on thrust and flow."""
        return self.propellant / (factor * self.motor.flow) + self.motor.build_up / 2.0


@dataclass(frozen=True)
class Drop:
    """Something jettisoned `after` [s] from a stage's ignition: `mass` [kg], `drag_area` [m2]."""

    name: str
    after: float
    mass: float
    drag_area: float = 0.0


@dataclass(frozen=True)
class Stage:
    """One stage of the climb, ignited `wait` [s] after the one below has burned out.

    `propellant` [kg] is what it can use; `dropped` [kg] what falls off before the next ignites, and
    `drag_area` [m2] the drag area of that as it falls.
    """

    name: str
    motor: Motor
    propellant: float
    dropped: float
    wait: float = 0.0
    boosters: tuple[Booster, ...] = ()
    drops: tuple[Drop, ...] = ()
    drag_area: float = 0.0


@dataclass(frozen=True)
class ClimbLimits:
    """Most sensed acceleration [m/s2] and dynamic pressure [Pa] the engines are held to."""

    acceleration: float = inf
    dynamic_pressure: float = inf


@dataclass(frozen=True)
class LaunchVehicle:
    """A stack on the pad: `mass` [kg] before ignition, stages from the lowest up.

    Drag acts on `area` [m2] by a `curve` over the Mach number, the normal force of a wind by its
    `normal_slope` [m2/rad], whatever has been dropped since.
    """

    mass: float
    stages: tuple[Stage, ...]
    area: float
    curve: drag.DragCurve = drag.USUAL
    limits: ClimbLimits = field(default_factory=ClimbLimits)
    normal_slope: float = 0.0


@dataclass(frozen=True)
class Launch:
    """Where from, which way and how: geodetic `latitude` [rad], `azimuth` [rad] of the orbit's
    plane over the site in inertial space, `radius` [m] of the circular orbit.

    `hold_down` [s] from ignition to release, `rise` [s] straight up, `pitching` [s] to pitch over.
    """

    latitude: float
    azimuth: float
    radius: float
    hold_down: float = 3.0
    rise: float = 12.0
    pitching: float = 10.0
    pitchover_angle: float | None = None  # rad off the vertical; None: the one that leaves most
    weather: Weather = CALM

    @property
    def launch_azimuth(self) -> float:
        """Azimuth over ground [rad] along which the pad is left."""
        return over_ground(self.azimuth, self.latitude)

    @property
    def inclination(self) -> float:
        """Inclination of the orbit's plane to the equator [rad]."""
        return earth.inclination(earth.geocentric_latitude(self.latitude), self.azimuth)


class EngineOut(NamedTuple):
    """One engine of a `stage` (from zero) stops `after` [s] its ignition.

    Of the stage itself, or of a `booster` beside it. The body whose engine stops burns slower. It
    is dropped when the plan has it dropped, with the others that then run dry, and what it still
    holds goes with it: no body is left pushing on one side alone (common practice, no source). A
    booster that is one body, with none like it, is kept until it is empty.
    """

    stage: int
    after: float
    booster: str = ""


@dataclass(frozen=True)
class Dispersions:
    """Departures of a flight from its plan: factors on thrust (and flow) and on air density.

    `engine_out` is an engine that stops on the way. `wind` is a factor on the wind profile,
    blowing towards `wind_to` [rad].
    """

    thrust: float = 1.0
    air: float = 1.0
    engine_out: EngineOut | None = None
    wind: float = 0.0
    wind_to: float = 0.0


NOMINAL = Dispersions()
