"""An entry as arrays: what its rows say, and the heating along them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from mplan.physics.entry import heating
from mplan.physics.entry.entry_air import density
from mplan.physics.entry.entry_flight import EntryRow
from mplan.physics.entry.heating import Heat
from mplan.physics.entry.over_ground import ground_range
from mplan.physics.vectors import frozen


def entry_arrays(rows: tuple[EntryRow, ...]) -> Mapping[str, np.ndarray]:
    """Return arrays (n,) by name, read-only.

    `t` [s since the interface], `altitude`, `speed` (through the air), `load` [m/s2], `angle` [rad,
    through the air], `bank` [rad, to the right; to the left below zero], `downrange` [m]; `state`
    is (n, 6).
    """
    t, altitude, speed, climb, load, up, side = (
        np.array([getattr(row, name) for row in rows])
        for name in ("t", "altitude", "speed", "climb", "load", "up", "side")
    )
    first = rows[0].state
    left = np.where(side < 0.0, -1.0, 1.0)
    return frozen(
        {
            "t": t,
            "state": np.array([row.state for row in rows]),
            "altitude": altitude,
            "speed": speed,
            "angle": np.arcsin(climb / speed),
            "load": load,
            "bank": left * np.arccos(np.clip(up, -1.0, 1.0)),
            "downrange": np.array([ground_range(first, row.state, row.t) for row in rows]),
        }
    )


def heat_of(rows: tuple[EntryRow, ...], radius: float) -> Heat:
    """Return the heating of the stagnation point of an effective nose `radius` [m]."""
    t, speed = np.array([row.t for row in rows]), np.array([row.speed for row in rows])
    air = np.array([density(row.altitude) for row in rows])
    return heating.heat_along(t, air, speed, radius)
