"""Coasting under Earth, Moon and Sun: one function to fly an arc, two integrators behind it.

Earth with its J2 about the true pole of date, the Moon with J2 and C22 or its field to degree 8
(`degree`) in its principal axes, the Sun as a point; geocentric, ICRF axes. Home from a lunar orbit
of 110 km J2 and C22 move the entry interface by 210 to 270 km and 0.9 to 1.2 deg, the terms of
degree 3 to 8 by a further 1 to 100 km and up to 0.4 deg; on the way there they all move the
perilune by 0.3 km (measured, 1965 to 2049). Neglected: light pressure, the planets, relativity
(together a few hundred metres on a three-day arc, from memory), the Moon's tides and the air.

`heyoka` (a Taylor integrator, where it installs) carries Moon and Sun along in its state from
their DE421 places at departure; `dop853` (SciPy) looks them up in DE421 all the way. The two
share nothing but the constants, so each checks the other: metres apart at the interface.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.util import find_spec
from itertools import islice
from threading import Lock
from typing import Literal, NamedTuple, Protocol

import numpy as np

from mplan.physics.bodies import earth
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.constants import DAY
from mplan.physics.vectors import Vector, floats, lock

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
        lock(self.r, self.v, self.moon_r, self.moon_v)

    @property
    def lunar_r(self) -> np.ndarray:
        """Position from the Moon's centre [m]."""
        return self.r - self.moon_r

    @property
    def lunar_v(self) -> np.ndarray:
        """Velocity against the Moon [m/s]."""
        return self.v - self.moon_v


class ArcStart(NamedTuple):
    """An arc to be flown: from `r` [m], `v` [m/s] at `t` [TDB s], for `duration` [s] at most."""

    r: np.ndarray
    v: np.ndarray
    t: float
    duration: float


class FloatStart(NamedTuple):
    """The same in plain floats, by which an arc is remembered, with Earth's `pole` of date."""

    r: Vector
    v: Vector
    t: float
    duration: float
    pole: Vector


class _Integrator(Protocol):
    """What the modules of both integrators offer."""

    def fly_abreast(self, arcs: Sequence[FloatStart], stop: Stop, degree: Degree) -> list[Arrival]:
        """Fly arcs side by side: see `nbody.fly_abreast`."""

    def path(self, arc: FloatStart, after: np.ndarray, degree: Degree) -> np.ndarray:
        """Sample one arc: see `nbody.path`."""


@cache  # asked for each arc: to look for a module takes longer than to set one out
def back_ends() -> tuple[BackEnd, ...]:
    """Return the integrators that work on this machine, the preferred one first."""
    return ("heyoka", "dop853") if find_spec("heyoka") else ("dop853",)


def load_integrators() -> None:
    """Load what the preferred integrator keeps compiled, for who is about to fly often."""
    if back_ends()[0] == "heyoka":
        from mplan.physics.arcs import nbody_heyoka

        nbody_heyoka.load_compiled()


def fly_arc(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    duration: float,
    stop: Stop = "time",
    *,
    degree: Degree = 2,
    back_end: BackEnd | None = None,
) -> Arrival:
    """Fly from `r` [m], `v` [m/s] at `t` [TDB s] until `stop`, or for `duration` [s] at most.

    `perilune` stops at the closest approach to the Moon; `earth` at the entry interface
    (121.92 km above the ellipsoid, going down) or, where the path stays above it, at perigee.
    Going backwards (`duration` below zero) knows no stop but `time`. The Moon's field is reckoned
    to `degree`. An arc flown lately from the very same state is not flown again.
    """
    return fly_abreast([ArcStart(r, v, t, duration)], stop, degree=degree, back_end=back_end)[0]


def fly_abreast(
    arcs: Sequence[ArcStart],
    stop: Stop = "time",
    *,
    degree: Degree = 2,
    back_end: BackEnd | None = None,
) -> tuple[Arrival, ...]:
    """Fly several arcs, as `fly_arc` flies each: what one ends at does not depend on the others.

    `heyoka` flies four in the time of one. ArithmeticError where one of them cannot be flown.
    """
    name = back_end or back_ends()[0]
    starts = [FloatStart(floats(r), floats(v), t, last, _pole(t)) for r, v, t, last in arcs]
    keys: list[_Key] = [(x, stop, degree, name) for x in starts]
    found = _lately.ends(keys)
    missing = dict.fromkeys(key for key in keys if key not in found)
    if missing:
        ends = _integrator(name).fly_abreast([start for start, *_ in missing], stop, degree)
        flown = dict(zip(missing, ends, strict=True))
        _lately.keep(flown)
        found |= flown
    return tuple(found[key] for key in keys)


_Key = tuple[FloatStart, Stop, Degree, BackEnd]


class _Lately:
    """The arcs that were flown last, each by itself; what is handed out again is read-only.

    The last arc of a correction was mostly flown among those of its slopes.
    """

    def __init__(self, most: int) -> None:
        self._most, self._alone = most, Lock()
        self._ends: dict[_Key, Arrival] = {}

    def ends(self, keys: Sequence[_Key]) -> dict[_Key, Arrival]:
        """Return the arcs of `keys` that are kept."""
        return {key: end for key in keys if (end := self._ends.get(key)) is not None}

    def keep(self, flown: dict[_Key, Arrival]) -> None:
        """Keep arcs, and drop those flown first."""
        with self._alone:
            self._ends.update(flown)
            for key in [*islice(self._ends, max(0, len(self._ends) - self._most))]:
                del self._ends[key]

    def cache_clear(self) -> None:
        """Forget all."""
        with self._alone:
            self._ends.clear()


_lately = _Lately(10_000)  # a kilobyte each; a mission flies 400, a search for windows thousands


def path(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    after: np.ndarray,
    *,
    degree: Degree = 2,
    back_end: BackEnd | None = None,
) -> np.ndarray:
    """Return the states (n, 12) of spacecraft and Moon `after` [s] from `t` (rising, from 0)."""
    after = np.asarray(after, dtype=float)
    arc = FloatStart(floats(r), floats(v), t, float(after[-1]), _pole(t))
    return _integrator(back_end).path(arc, after, degree)


def earth_pole(t: float) -> np.ndarray:
    """Return Earth's pole of date, GCRS, shape (3,), held for the day: it moves 0.06 arcsec."""
    return earth.true_equator_of_day(t)[2]


def _pole(t: float) -> Vector:
    return _pole_of_day(round(t / DAY))


@lru_cache(maxsize=256)
def _pole_of_day(day: int) -> Vector:
    return floats(earth_pole(day * DAY))


def _integrator(back_end: BackEnd | None) -> _Integrator:
    name = back_end or back_ends()[0]
    if name == "heyoka":
        from mplan.physics.arcs import nbody_heyoka

        return nbody_heyoka
    if name == "dop853":
        from mplan.physics.arcs import nbody_dop853

        return nbody_dop853
    raise ValueError(f"no integrator {name!r}; there are: {', '.join(back_ends())}")
