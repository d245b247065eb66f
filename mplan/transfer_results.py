"""What the four calculations of `transfers` return: records that print themselves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import degrees
from typing import NamedTuple

import numpy as np

from mplan.cautions import CAUTIONS
from mplan.physics import constants as c
from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.vectors import frozen

EARTH_FRAME = "GCRS, geocentric"
MOON_FRAME = "ICRF axes, from the Moon's centre"


class Printed:
    """A result that prints itself, one fact a line."""

    def _facts(self) -> Iterator[tuple[str, str]]:
        raise NotImplementedError

    def __repr__(self) -> str:
        """Return the name of the calculation, its facts and the caution."""
        lines = [f"  {name:<28}{text}" for name, text in self._facts()]
        return "\n".join([type(self).__name__, *lines, f"  {CAUTIONS[0]}"])


class Solution(NamedTuple):
    """One answer to a leg: sum of its burns [m/s], its duration [s], its final speed [m/s]."""

    delta_v: float
    duration: float
    final_speed: float

    def __repr__(self) -> str:
        """Return the numbers with their units."""
        return (
            f"delta-v {self.delta_v:,.1f} m/s, duration {self.duration / c.HOUR:.2f} h, "
            f"final speed {self.final_speed:,.1f} m/s"
        )


class Impulse(NamedTuple):
    """One burn: its name, epoch `t` [TDB s past J2000], size [m/s]."""

    name: str
    t: float
    delta_v: float

    @property
    def utc(self) -> datetime:
        """Epoch of the burn."""
        return utc_from_tdb(self.t)

    def __repr__(self) -> str:
        """Return the date and the size."""
        return f"{self.delta_v:,.1f} m/s at {date_of(self.t)}"


@dataclass(frozen=True, eq=False, repr=False)
class StateVector:
    """Position `r` [m] and velocity `v` [m/s], shape (3,), at `t` [TDB s past J2000]."""

    t: float
    r: np.ndarray
    v: np.ndarray
    frame: str

    def __post_init__(self) -> None:
        """Make the arrays this record's own, and read-only."""
        for name in ("r", "v"):
            array = np.array(getattr(self, name), dtype=float)
            object.__setattr__(self, name, frozen(array))

    @property
    def utc(self) -> datetime:
        """Epoch of the state."""
        return utc_from_tdb(self.t)

    @property
    def distance(self) -> float:
        """Distance from the centre of the frame [m]."""
        return float(np.linalg.norm(self.r))

    @property
    def speed(self) -> float:
        """Speed [m/s] in the frame."""
        return float(np.linalg.norm(self.v))

    def __repr__(self) -> str:
        """Return date, frame and components."""
        r, v = (", ".join(f"{x / 1e3:.{n}f}" for x in y) for y, n in ((self.r, 3), (self.v, 6)))
        return f"{date_of(self.t)}, {self.frame}: r [{r}] km, v [{v}] km/s"


@dataclass(frozen=True, repr=False)
class Hohmann(Printed):
    """Two burns between two circles about one body: `first`, `second`, `delta_v` [m/s], time [s].

    The signs of `first` and `second` say forward or back; `delta_v` is the sum of their sizes.
    """

    body: str
    size: float  # m, radius of the body
    radii: tuple[float, float]  # m, of the circles
    first: float
    second: float
    duration: float

    @property
    def delta_v(self) -> float:
        """Sum of both burns' sizes [m/s]."""
        return abs(self.first) + abs(self.second)

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield "about", self.body
        for name, radius in zip(("from", "to"), self.radii, strict=True):
            height = f"{(radius - self.size) / 1e3:,.3f} km altitude"
            yield name, f"{height}, {radius / 1e3:,.3f} km from the centre"
        yield "first burn", f"{self.first:,.3f} m/s"
        yield "second burn", f"{self.second:,.3f} m/s"
        yield "delta-v", f"{self.delta_v:,.3f} m/s"
        yield "time", f"{self.duration / c.HOUR:.6f} h ({self.duration / c.DAY:.6f} d)"


@dataclass(frozen=True, eq=False, repr=False)
class Translunar(Printed):
    """The way to the Moon: states before and after the burn (GCRS) and at perilune (lunar)."""

    conic: Solution
    integrated: Solution
    before: StateVector
    departure: StateVector
    perilune: StateVector

    @property
    def delta_v(self) -> float:
        """Size of the injection burn [m/s], integrated."""
        return self.integrated.delta_v

    @property
    def burns(self) -> tuple[Impulse, ...]:
        """The translunar injection."""
        return (Impulse("translunar injection", self.departure.t, self.delta_v),)

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield from _burn_facts(self.burns)
        yield "perilune", f"{date_of(self.perilune.t)}, {lunar_altitude(self.perilune)}"
        yield "integrated", repr(self.integrated)
        yield "conic first guess", repr(self.conic)
        yield "state after the burn", repr(self.departure)
        yield "state at perilune", repr(self.perilune)


@dataclass(frozen=True, eq=False, repr=False)
class LunarOrbitInsertion(Printed):
    """Capture into a circle: its burns, the state in the circle after the last (lunar frame)."""

    conic: Solution
    integrated: Solution
    burns: tuple[Impulse, ...]
    orbit: StateVector
    inclination: float  # rad, to the Moon's equator
    period: float  # s

    @property
    def delta_v(self) -> float:
        """Sum of the burns [m/s], integrated."""
        return self.integrated.delta_v

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield from _burn_facts(self.burns)
        yield "orbit", f"circle at {lunar_altitude(self.orbit)}, {self.period / c.MINUTE:.2f} min"
        yield "inclination", f"{degrees(self.inclination):.2f} deg to the Moon's equator"
        yield "integrated", repr(self.integrated)
        yield "conic first guess", repr(self.conic)
        yield "state in the orbit", repr(self.orbit)


@dataclass(frozen=True, eq=False, repr=False)
class ReturnBurn(Printed):
    """The way home: states before and after the burn and at the entry interface.

    `before` counts from the Moon's centre; `departure` and `entry` are GCRS.
    """

    conic: Solution
    integrated: Solution
    before: StateVector
    departure: StateVector
    entry: StateVector
    entry_angle: float  # rad, of the inertial velocity, negative going down

    @property
    def delta_v(self) -> float:
        """Size of the return burn [m/s], integrated."""
        return self.integrated.delta_v

    @property
    def burns(self) -> tuple[Impulse, ...]:
        """The trans-Earth injection."""
        return (Impulse("trans-Earth injection", self.departure.t, self.delta_v),)

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield from _burn_facts(self.burns)
        yield "entry interface", f"{date_of(self.entry.t)}, 121.92 km above the ellipsoid"
        yield "entry angle", f"{degrees(self.entry_angle):.3f} deg, inertial"
        yield "integrated", repr(self.integrated)
        yield "conic first guess", repr(self.conic)
        yield "state after the burn", repr(self.departure)
        yield "state at the interface", repr(self.entry)


def _burn_facts(burns: Iterable[Impulse]) -> Iterator[tuple[str, str]]:
    return ((burn.name, repr(burn)) for burn in burns)


def date_of(t: float) -> str:
    """Return the UTC date to the nearest second."""
    return f"{utc_from_tdb(t) + timedelta(seconds=0.5):%Y-%m-%d %H:%M:%S} UTC"


def lunar_altitude(state: StateVector) -> str:
    """Return the altitude over the Moon's mean sphere, with its unit."""
    return f"{(state.distance - c.R_MOON) / 1e3:,.3f} km above the 1737.4 km sphere"
