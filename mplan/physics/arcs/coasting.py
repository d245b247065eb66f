"""Coasting from any state to an apse, a node, an altitude, Earth's air, a surface or for a time.

The path is sampled as fast as the motion runs, near Earth and near the Moon alike, and at its
apses; each stop is then met between two samples. Whatever is asked for, a coast ends where it
meets Earth's air or the Moon: neither is flown through.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import sqrt
from typing import Literal, NamedTuple, get_args

import numpy as np
from scipy.optimize import brentq

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.nbody import Arrival, BackEnd
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.earth import surface_radius
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.bodies.selenography import lunar_pole

CoastStop = Literal[
    "perilune",
    "apolune",
    "perigee",
    "apogee",
    "ascending node",
    "descending node",
    "altitude",
    "time",
]
Centre = Literal["Earth", "Moon"]
STOPS: tuple[CoastStop, ...] = get_args(CoastStop)
AIR, GROUND = "entry interface", "Moon's surface"  # end every coast
STEP, STEPS = 0.1, 8  # of the local dynamic time; samples looked at together
NEAR_MOON = 1e8  # m: an apse about the Moon further out is one of the way round Earth
NEAR_EARTH = 2e8  # m: a perigee further out is one of the way past the Moon
SHARP = 1e-4  # s, to which a stop is met
LEAST = 1e-9  # s, the shortest path that is asked for
BEGUN = 1.0  # s: an apse sooner is the one that the coast begins at


class _End(NamedTuple):
    """What ends a coast where its value, of a row of the path, passes zero in a direction."""

    name: str
    value: Callable[[np.ndarray], float]
    direction: int

    def crossed(self, before: np.ndarray, after: np.ndarray) -> bool:
        """Tell whether it happens between two rows."""
        return self.direction * self.value(before) < 0.0 <= self.direction * self.value(after)


def coast_to(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    duration: float,
    stop: CoastStop = "time",
    *,
    about: Centre = "Earth",
    altitude: float = 0.0,
    degree: Degree = 2,
    back_end: BackEnd | None = None,
) -> Arrival:
    """Coast from geocentric `r` [m], `v` [m/s] at `t` [TDB s] to a stop, or for `duration` [s].

    `stop` of the arrival says what ended it: the stop asked for, `time`, `entry interface`
    (121.92 km above the ellipsoid, going down) or `Moon's surface` (the sphere of 1737.4 km). An
    apse or node that the coast begins at does not end it. Nodes are those of the true equator of
    the body `about` at `t`; `altitude` [m] is over its ellipsoid or sphere, on the way up or down.
    `degree` is that of the Moon's field. ArithmeticError where it cannot be integrated.
    """
    place = _Place(about, nbody.earth_pole(t) if about == "Earth" else lunar_pole(t))
    ends = [_air(nbody.earth_pole(t)), _End(GROUND, _over_moon, -1), *_apses(stop)]
    ends += place.nodes(stop) if stop != "altitude" else place.heights(altitude)
    leg, end = _Leg(t, np.concatenate([r, v]), degree, back_end), t + duration
    while True:
        after = np.linspace(0.0, min(end - leg.t, leg.span), STEPS + 1)
        after, path = leg.with_apses(after, leg.path(after))
        for low, high in pairwise(range(len(after))):
            crossed = [x for x in ends if x.crossed(path[low], path[high])]
            hits = [(leg.met(x, after[low], after[high]), x.name) for x in crossed]
            hits = [x for x in hits if leg.t + x[0] - t > BEGUN or x[1] in (AIR, GROUND)]
            if hits:
                when, name = min(hits)
                return _arrival(leg.row(when), leg.t + when, name)
        if end - leg.t <= leg.span:
            return _arrival(path[-1], end, "time")
        leg = leg._replace(t=leg.t + float(after[-1]), state=path[-1, :6])


class _Leg(NamedTuple):
    """A short part of a coast, from a state (6,) at `t` [TDB s] on."""

    t: float
    state: np.ndarray
    degree: Degree
    back_end: BackEnd | None

    @property
    def span(self) -> float:
        """How long it is [s]: at steps of the time that runs as the motion does."""
        r, v = self.state[:3], self.state[3:]
        luna = ephemeris.moon(self.t)
        about_earth = _rate(c.MU_EARTH, r, v)
        return STEPS * STEP / (about_earth + _rate(c.MU_MOON, r - luna.r, v - luna.v))

    def path(self, after: np.ndarray) -> np.ndarray:
        """Return rows of the path `after` [s], rising from 0."""
        r, v = self.state[:3], self.state[3:]
        return nbody.path(r, v, self.t, after, degree=self.degree, back_end=self.back_end)

    def with_apses(self, after: np.ndarray, path: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return times and rows with those of the apses between them.

        So that no height is gone below, nor above, and back between two of them.
        """
        turns = [
            self.met(end, after[low], after[low + 1])
            for end in _apses("perilune") + _apses("apolune") + _apses("perigee")
            for low in range(len(after) - 1)
            if end.crossed(path[low], path[low + 1])
        ]
        inside = [x for x in turns if x not in after]
        if not inside:
            return after, path
        times = np.concatenate([after, inside])
        rows = np.concatenate([path, [self.row(x) for x in inside]])
        order = np.argsort(times)
        return times[order], rows[order]

    def row(self, after: float) -> np.ndarray:
        """Return the row of the path `after` [s]."""
        return self.path(np.array([0.0, max(after, LEAST)]))[-1]

    def met(self, event: _End, low: float, high: float) -> float:
        """Return when [s] an event happens that was crossed between two times."""
        if event.direction * event.value(self.row(low)) >= 0.0:
            return low  # by rounding
        return float(brentq(lambda x: event.value(self.row(x)), low, high, xtol=SHARP))


def _rate(mu: float, r: np.ndarray, v: np.ndarray) -> float:
    """Return how fast a motion runs [1/s]: as an orbit's there, or as it flies past or falls in."""
    square = float(r @ r)
    return max(sqrt(mu / square**1.5), sqrt(float(v @ v) / square))


def _arrival(row: np.ndarray, t: float, stop: str) -> Arrival:
    return Arrival(t, row[:3], row[3:6], row[6:9], row[9:], stop=stop)


def _apses(stop: CoastStop) -> list[_End]:
    named = {
        "perilune": _End("perilune", _from_moon, 1),
        "apolune": _End("apolune", _from_moon, -1),
        "perigee": _End("perigee", _from_earth, 1),
        "apogee": _End("apogee", _from_earth_far, -1),
    }
    return [named[stop]] if stop in named else []


class _Place(NamedTuple):
    """The body that nodes and altitudes count from, and its pole (3,)."""

    about: Centre
    pole: np.ndarray

    def nodes(self, stop: CoastStop) -> list[_End]:
        """Return the end at a node, if one is asked for."""
        directions = {"ascending node": 1, "descending node": -1}

        def over_equator(row: np.ndarray) -> float:
            return float(self._from(row) @ self.pole)

        return [_End(stop, over_equator, directions[stop])] if stop in directions else []

    def heights(self, altitude: float) -> list[_End]:
        """Return the ends at an altitude [m], on the way up and down."""

        def over(row: np.ndarray) -> float:
            return self._height(row) - altitude

        return [_End("altitude", over, direction) for direction in (1, -1)]

    def _from(self, row: np.ndarray) -> np.ndarray:
        return row[:3] if self.about == "Earth" else row[:3] - row[6:9]

    def _height(self, row: np.ndarray) -> float:
        return _over_moon(row) if self.about == "Moon" else _over_earth(row, self.pole)


def _from_moon(row: np.ndarray) -> float:
    """Return how fast the craft leaves the Moon [m2/s]; far from it, that it does not turn."""
    r, v = row[:3] - row[6:9], row[3:6] - row[9:]
    return float(r @ v) if r @ r < NEAR_MOON**2 else float("nan")


def _from_earth(row: np.ndarray) -> float:
    """Return how fast the craft leaves Earth [m2/s], nearer than where the Moon decides."""
    return float(row[:3] @ row[3:6]) if row[:3] @ row[:3] < NEAR_EARTH**2 else float("nan")


def _from_earth_far(row: np.ndarray) -> float:
    return float(row[:3] @ row[3:6])


def _over_moon(row: np.ndarray) -> float:
    r = row[:3] - row[6:9]
    return sqrt(float(r @ r)) - c.R_MOON


def _over_earth(row: np.ndarray, pole: np.ndarray) -> float:
    distance = sqrt(float(row[:3] @ row[:3]))
    return distance - surface_radius(float(row[:3] @ pole) / distance)


def _air(pole: np.ndarray) -> _End:
    return _End(AIR, lambda row: _over_earth(row, pole) - c.ENTRY_INTERFACE, -1)
