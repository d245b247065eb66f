"""Who may see a craft: ground stations, and relays about the Moon that a station sees."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np

from mplan.flight.record import Flight
from mplan.flight.whereabouts import relay_places
from mplan.physics.contact import sightings
from mplan.physics.contact.ground_stations import GroundStation, places
from mplan.physics.contact.sightings import Clearance
from mplan.scenario import Scenario
from mplan.scenario.launch_site import StationSite
from mplan.scenario.radio.relay import RelayCraft
from mplan.vehicle.same import Same

UNSEEN = -np.pi  # rad, of what is out of reach


class Watcher(Protocol):
    """What sees craft: a ground station or a relay."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def lowest(self) -> float:
        """The least elevation at which it sees [rad]."""

    @property
    def is_relay(self) -> bool:
        """Whether it is a relay."""

    def places(self, t: np.ndarray) -> np.ndarray:
        """Return where it is (n, 3), GCRS [m], at times (n,) [TDB s]."""

    def clearance(self, r: np.ndarray, t: np.ndarray) -> Clearance:
        """Return how clear it has a craft at `r` (n, 3) GCRS [m] and `t` (n,)."""


@dataclass(frozen=True)
class StationWatcher:
    """A ground station, and what it receives with."""

    station: GroundStation
    site: StationSite
    is_relay: bool = False

    @property
    def name(self) -> str:
        """What the place is called."""
        return self.station.name

    @property
    def lowest(self) -> float:
        """The least elevation at which it sees [rad]."""
        return self.station.lowest

    def places(self, t: np.ndarray) -> np.ndarray:
        """Return where it is (n, 3), GCRS [m]."""
        return places(self.station, t)

    def clearance(self, r: np.ndarray, t: np.ndarray) -> Clearance:
        """Return how clear it has a craft: horizon and Moon."""
        return sightings.clearance(self.station, r, t)


@dataclass(frozen=True)
class RelayWatcher:
    """A relay: it serves a craft within its reach while it sees it, and a station sees the relay.

    Its horizon stands for the way on to Earth: what the best station has of it.
    """

    relay: RelayCraft
    lift_off: float  # TDB s
    stations: tuple[GroundStation, ...]
    lowest: float = 0.0
    is_relay: bool = True

    @property
    def name(self) -> str:
        """What it is called."""
        return self.relay.name

    def places(self, t: np.ndarray) -> np.ndarray:
        """Return where it is (n, 3), GCRS [m]; NaN once it has come down."""
        return _places(Same(self.relay), self.lift_off, tuple(t.tolist()))

    def clearance(self, r: np.ndarray, t: np.ndarray) -> Clearance:
        """Return how clear the Moon's limb is of the line to the craft, and the way on to Earth."""
        own = self.places(t)
        limb = sightings.beside_moon(r, own, t)
        onward = sightings.best([sightings.clearance(x, own, t) for x in self.stations])
        near = np.linalg.norm(r - own, axis=1) <= self.relay.reach
        there = ~np.isnan(own[:, 0])
        return Clearance(
            np.where(there & near, onward, UNSEEN), np.where(there & near, limb, UNSEEN)
        )


@lru_cache(maxsize=8)  # a log asks for the same times for places and clearance
def _places(relay: Same[RelayCraft], lift_off: float, t: tuple[float, ...]) -> np.ndarray:
    found = relay_places(relay.it, lift_off, np.array(t))
    found.setflags(write=False)
    return found


def stations_of(scenario: Scenario) -> tuple[GroundStation, ...]:
    """Return the scenario's stations as physics has them."""
    return tuple(
        GroundStation(x.name, x.latitude, x.longitude, x.altitude, x.lowest_elevation)
        for x in scenario.stations.values()
    )


def every_watcher(flight: Flight) -> tuple[Watcher, ...]:
    """Return the stations of a flight whose date is known, then its relays; none without stations.

    A relay without a station leads nowhere.
    """
    scenario, stations = flight.scenario, stations_of(flight.scenario)
    if not stations or not flight.dated:
        return ()
    pairs = zip(stations, scenario.stations.values(), strict=True)
    start = flight.end.lift_off
    relays = (RelayWatcher(x, start, stations) for x in scenario.relays.values())
    return (*(StationWatcher(*pair) for pair in pairs), *relays)
