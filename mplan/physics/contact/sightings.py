"""When a ground station sees a craft: above its horizon, and no Moon between them.

How well it does is told by one angle, the lesser of the craft's height over the station's lowest
elevation and of the line of sight's distance from the Moon's limb; below zero it does not. On the
Moon's ground the second is the station's height over the level horizon: hills are not known.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris
from mplan.physics.contact.ground_stations import GroundStation, elevations, places

HIDDEN, LOW, SEEN = "behind the Moon", "below the horizon", "in contact"


class Clearance(NamedTuple):
    """Angles [rad] at times (n,): over the station's lowest elevation, and beside the Moon."""

    horizon: np.ndarray
    limb: np.ndarray

    @property
    def least(self) -> np.ndarray:
        """The lesser of the two: below zero there is no contact."""
        return np.minimum(self.horizon, self.limb)


class Sighting(NamedTuple):
    """A time in which one sees the other, or does not: `begin` and `end` [s]."""

    begin: float
    end: float


def clearance(station: GroundStation, r: np.ndarray, t: np.ndarray) -> Clearance:
    """Return how clear a craft at `r` (n, 3) GCRS [m] stands of horizon and Moon at `t` (n,)."""
    over = elevations(station, r, t) - station.lowest
    return Clearance(over, beside_moon(r, places(station, t), t))


def beside_moon(r: np.ndarray, towards: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Return the angle [rad] at `r` between a line of sight and the Moon's limb, negative behind.

    `r` and `towards` (n, 3) GCRS [m]. Where the Moon lies beyond the other end it hides nothing:
    the angle is then half a turn.
    """
    moon = ephemeris.moon(t).r - r
    ray = towards - r
    far, distance = np.linalg.norm(ray, axis=1), np.linalg.norm(moon, axis=1)
    cosine = np.clip(np.sum(ray * moon, axis=1) / (far * distance), -1.0, 1.0)
    wide = np.arcsin(np.clip(c.R_MOON / distance, 0.0, 1.0))
    nearer = far < np.sqrt(np.maximum(distance**2 - c.R_MOON**2, 0.0))
    return np.where(nearer, np.pi, np.arccos(cosine) - wide)


def spans(t: np.ndarray, least: np.ndarray) -> tuple[Sighting, ...]:
    """Return when an angle is zero or above: `least` (n,) at rising times `t` (n,) [s].

    An edge lies where a straight line between two times crosses zero.
    """
    above = least >= 0.0
    turns = np.flatnonzero(above[1:] != above[:-1])
    share = least[turns] / (least[turns] - least[turns + 1])
    edges = (t[turns] + share * (t[turns + 1] - t[turns])).tolist()
    first = [float(t[0])] if above[0] else []
    last = [float(t[-1])] if above[-1] else []
    ends = [*first, *edges, *last]
    return tuple(Sighting(*pair) for pair in zip(ends[::2], ends[1::2], strict=True))


def best(seen: Sequence[Clearance]) -> np.ndarray:
    """Return the largest of the stations' least angles [rad] at each time (n,)."""
    return np.max([each.least for each in seen], axis=0)


def why_not(seen: Sequence[Clearance], index: int) -> str:
    """Return why no station has contact at one of the times, or that one has."""
    if any(each.least[index] >= 0.0 for each in seen):
        return SEEN
    return why_unseen([each.horizon[index] for each in seen])


def why_unseen(over: Iterable[float]) -> str:
    """Return why no station has contact, by how far `over` [rad] its lowest elevation a craft is.

    Where one has it over its horizon, the Moon is in between.
    """
    return HIDDEN if any(angle >= 0.0 for angle in over) else LOW
