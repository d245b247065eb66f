"""Coasting under Earth, Moon and Sun: one function to fly an arc, two integrators behind it.

Point masses of Earth, Moon and Sun and Earth's J2 about its true pole of date, geocentric,
ICRF axes. Neglected: light pressure, the Moon's own figure, the planets, relativity (together
a few hundred metres on a three-day arc) and the air.

`heyoka` (a Taylor integrator, where it installs) carries Moon and Sun along in its state from
their DE421 places at departure; `dop853` (SciPy) looks them up in DE421 all the way. The two
share nothing but the constants, so each checks the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib.util import find_spec
from typing import Literal, Protocol

import numpy as np

from mplan.physics.bodies import earth
from mplan.physics.vectors import freeze

Stop = Literal["perilune", "earth", "time"]
BackEnd = Literal["heyoka", "dop853"]

STOPS = {"perilune": ("perilune",), "earth": ("entry interface", "perigee"), "time": ()}
FAR = 2e8  # m: an apse further out than this belongs to leaving the Moon, not to coming home


@dataclass(frozen=True)
class Arrival:
    """The end of an arc: state at `t` [TDB s], geocentric and ICRF, with the Moon's state there.

    `stop` says what ended it: `perilune`, `entry interface`, `perigee` or `time`.
    """

    t: float
    r: np.ndarray
    v: np.ndarray
    moon_r: np.ndarray
    moon_v: np.ndarray
    stop: str

    def __post_init__(self) -> None:
        """Make the arrays read-only: the record is handed out again."""
        freeze(self)

    @property
    def lunar_r(self) -> np.ndarray:
        """Position from the Moon's centre [m]."""
        return self.r - self.moon_r

    @property
    def lunar_v(self) -> np.ndarray:
        """Velocity against the Moon [m/s]."""
        return self.v - self.moon_v


class _Integrator(Protocol):
    """What the modules of both integrators offer; `pole` (3,) is Earth's of date."""

    def fly_arc(
        self,
        r: np.ndarray,
        v: np.ndarray,
        t: float,
        duration: float,
        stop: Stop,
        pole: np.ndarray,
    ) -> Arrival:
        """Fly one arc: see `nbody.fly_arc`."""

    def path(
        self, r: np.ndarray, v: np.ndarray, t: float, after: np.ndarray, pole: np.ndarray
    ) -> np.ndarray:
        """Sample one arc: see `nbody.path`."""


def back_ends() -> tuple[BackEnd, ...]:
    """Return the integrators that work on this machine, the preferred one first."""
    return ("heyoka", "dop853") if find_spec("heyoka") else ("dop853",)


def fly_arc(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    duration: float,
    stop: Stop = "time",
    *,
    back_end: BackEnd | None = None,
) -> Arrival:
    """Fly from `r` [m], `v` [m/s] at `t` [TDB s] until `stop`, or for `duration` [s] at most.

    `perilune` stops at the closest approach to the Moon; `earth` at the entry interface
    (121.92 km above the ellipsoid, going down) or, where the path stays above it, at perigee.
    Going backwards (`duration` below zero) knows no stop but `time`.
    """
    return _integrator(back_end).fly_arc(r, v, t, duration, stop, earth_pole(t))


def path(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    after: np.ndarray,
    *,
    back_end: BackEnd | None = None,
) -> np.ndarray:
    """Return the states (n, 12) of spacecraft and Moon `after` [s] from `t` (rising, from 0)."""
    return _integrator(back_end).path(r, v, t, np.asarray(after, dtype=float), earth_pole(t))


def earth_pole(t: float) -> np.ndarray:
    """Return Earth's pole of date, GCRS, shape (3,), held for the day: it moves 0.06 arcsec."""
    return earth.true_equator_of_day(t)[2]


def _integrator(back_end: BackEnd | None) -> _Integrator:
    name = back_end or back_ends()[0]
    if name == "heyoka":
        from mplan.physics.arcs import nbody_heyoka

        return nbody_heyoka
    if name == "dop853":
        from mplan.physics.arcs import nbody_dop853

        return nbody_dop853
    raise ValueError(f"no integrator {name!r}; there are: {', '.join(back_ends())}")
