"""Of a flown entry: the edges of its corridor, the light at its splash, another aeroshell."""

from __future__ import annotations

from itertools import takewhile
from typing import NamedTuple

import numpy as np

from mplan import checks
from mplan.flight.entry import Entry
from mplan.flight.entry_again import fly_entry_again
from mplan.flight.state import existing
from mplan.flight.steps import interface_of
from mplan.flight.through_air import limits
from mplan.physics import constants as c
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.bodies import daylight
from mplan.physics.bodies.daylight import Light
from mplan.physics.entry.corridor import steepened
from mplan.physics.entry.entry_flight import EntryRow, EntrySteering, fly_entry
from mplan.plan import Plan
from mplan.scenario import Scenario


class Edge(NamedTuple):
    """An edge of the corridor, flown at the entry's own speed until its path levels."""

    angle: float  # rad, at the interface
    rows: tuple[EntryRow, ...]

    @property
    def peak_load(self) -> float:
        """Largest load [m/s2]."""
        return max(row.load for row in self.rows)


class Interface(NamedTuple):
    """The entry interface: epoch [TDB s], inertial speed [m/s], flight-path angle [rad]."""

    t: float
    speed: float
    angle: float


class Limit(NamedTuple):
    """An entry angle [rad] beyond which something stops: its name, what does, the load [m/s2]."""

    name: str
    angle: float
    by: str
    load: float | None = None


def angle_limits(entry: Entry) -> list[Limit]:
    """Return the edges of the corridor and of the planned range in it, and the entry, by angle.

    A third of a second: the entry is aimed at the planned range from a dozen angles.
    """
    steep, shallow = edges(entry)
    rows = [
        Limit(
            "steep edge, full lift up",
            steep.angle,
            f"steeper takes more than {entry.limit / c.G0:g} g",
            steep.peak_load,
        ),
        Limit(
            "shallow edge, full lift down", shallow.angle, "shallower skips out", shallow.peak_load
        ),
    ]
    if entry.lands:
        rows.append(Limit("as flown", entry.angle, "", entry.flown.peak.load))
    planned = limits.served(entry)
    if planned is not None:
        to = f"to the planned {entry.aimed / 1e3:,.0f} km"
        rows.append(Limit(f"steepest {to}", planned.steep, planned.steep_by))
        rows.append(Limit(f"shallowest {to}", planned.shallow, planned.shallow_by))
    return sorted(rows, key=lambda row: row.angle)


def which_peak(entry: Entry) -> str:
    """Return in words at which of its peaks the load is largest."""
    return limits.which_peak(entry.flown)


def edges(entry: Entry) -> tuple[Edge, Edge]:
    """Return the steep edge, with full lift up, and the shallow one, with full lift down."""
    found = entry.corridor
    return _edge(entry, found.steep, 1.0), _edge(entry, found.shallow, -1.0)


def _edge(entry: Entry, angle: float, up: float) -> Edge:
    start = steepened(entry.start, angle)
    rows = fly_entry(start, entry.vehicle, EntrySteering(up, pull_out=False), entry.stop).rows
    return Edge(angle, tuple(takewhile(lambda row: row.climb < 0.0, rows)))


def interface(plan: Plan) -> Interface:
    """Return the entry interface of a plan."""
    found = existing(interface_of(plan.flight.end), "a return to Earth")
    speed = float(np.linalg.norm(found.v))
    return Interface(found.t, speed, flight_path_angle(found.r, found.v))


def light_at_splash(plan: Plan, before: float = 0.0) -> Light:
    """Return the light at the place of the splash, then or a time [s] `before`."""
    splash = existing(plan.flight.splash, "a splash")
    return daylight.light_at(splash.latitude, splash.longitude, splash.t - before)


def again(plan: Plan, scenario: Scenario) -> Plan:
    """Return the plan of a scenario that differs in aeroshell and parachutes alone.

    ValueError for a plan that flew no entry.
    """
    flight = fly_entry_again(plan.flight, scenario)
    return Plan(flight, checks.of(flight))
