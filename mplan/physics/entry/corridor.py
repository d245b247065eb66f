"""The corridor of entry angles: neither so steep that it crushes nor so shallow that it skips.

Both edges are flown, at the entry's own speed, place and heading, as in D. R. Chapman's studies
(NASA TR R-55, 1960): at the steep edge all lift points up and the load just keeps its limit; at
the shallow edge all lift points down and just holds the ship in the air. (Held on after that it
would dive to a far higher load: what a ship does there is roll over after pull-out.)
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import cos, sin
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.entry.bank import crossing
from mplan.physics.entry.entry_flight import (
    EntryFlight,
    EntrySteering,
    EntryVehicle,
    Six,
    fly_entry,
)

STEEPEST, SHALLOWEST = -20.0 * c.DEG, -2.0 * c.DEG  # rad, between which edges are looked for
CLOSE = 0.004 * c.DEG
NEAR = 0.01 * c.G0  # m/s2, of the load limit: 0.003 deg
DEEP = 40e3  # m: what lift has pulled down to there does not climb out again


class Corridor(NamedTuple):
    """Flight-path angles [rad, below zero] at the interface; `steep` is the lower one."""

    steep: float
    shallow: float

    @property
    def width(self) -> float:
        """How much angle there is [rad]; below zero if none serves."""
        return self.shallow - self.steep

    def holds(self, angle: float) -> bool:
        """Tell whether an entry angle [rad] lies inside."""
        return self.steep <= angle <= self.shallow


@lru_cache(maxsize=64)
def corridor(state: Six, vehicle: EntryVehicle, limit: float, stop: float) -> Corridor:
    """Return the corridor at the speed, place and heading of `state`, for a load `limit` [m/s2].

    Entries are followed down to `stop` [m]. Without lift both edges are those of ballistic
    entries.
    """

    def steep(angle: float) -> EntryFlight:
        return _flown(state, vehicle, stop, angle, 1.0)

    def spare(flown: EntryFlight) -> float:
        return limit - flown.peak.load

    def held(angle: float) -> bool:
        return _flown(state, vehicle, max(stop, DEEP), angle, -1.0).end == "down"

    bounds = SHALLOWEST, STEEPEST
    crushes, _ = crossing(steep, spare, lambda flown: abs(spare(flown)) < NEAR, bounds)
    return Corridor(crushes, edge(held, STEEPEST, SHALLOWEST))


def steepened(state: Six, angle: float) -> Six:
    """Return `state` with its flight-path angle [rad] changed, at the same speed and heading."""
    r, v = np.array(state[:3]), np.array(state[3:])
    up = r / np.linalg.norm(r)
    level = v - up * (up @ v)
    ahead = level / np.linalg.norm(level)
    turned = np.linalg.norm(v) * (ahead * cos(angle) + up * sin(angle))
    return (*r.tolist(), *turned.tolist())


def edge(holds: Callable[[float], bool], begin: float, end: float) -> float:
    """Return the last angle [rad] at which it `holds` on the way to `end`, by halving."""
    while abs(end - begin) > CLOSE:
        middle = (begin + end) / 2.0
        begin, end = (middle, end) if holds(middle) else (begin, middle)
    return begin


def _flown(state: Six, vehicle: EntryVehicle, stop: float, angle: float, up: float) -> EntryFlight:
    return fly_entry(steepened(state, angle), vehicle, EntrySteering(up, pull_out=False), stop)
