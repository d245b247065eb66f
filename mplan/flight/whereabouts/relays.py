"""Where relay craft about the Moon are, flown on from the orbit that the scenario states."""

from __future__ import annotations

from datetime import datetime, time, timezone

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.lunar_elements import LunarElements, orbit_of_elements
from mplan.physics.arcs.lunar_orbit import PIECE, LunarOrbit, coast
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.time import tdb_from_utc
from mplan.scenario.radio.relay import RelayCraft


def relay_places(relay: RelayCraft, lift_off: float, t: np.ndarray) -> np.ndarray:
    """Return where a relay is, GCRS [m], at rising times (n,) [TDB s], shape (n, 3).

    NaN from when on it has come down on the Moon.
    """
    orbit = coast(_stated(relay, lift_off), float(t[0]) - _epoch(relay, lift_off))
    pieces = []
    while len(t):
        begin = float(t[0])
        orbit = coast(orbit, begin - orbit.t)
        now = t[t < begin + PIECE]
        luna = ephemeris.moon(begin)
        path = nbody.path(
            orbit.r + luna.r, orbit.v + luna.v, begin, now - begin, degree=orbit.degree
        )
        pieces.append(np.where(_down(path)[:, None], np.nan, path[:, :3]))
        t = t[len(now) :]
        if np.isnan(pieces[-1]).any():
            pieces.append(np.full((len(t), 3), np.nan))
            break
    return np.concatenate(pieces)


def _down(path: np.ndarray) -> np.ndarray:
    """Tell from when on a path (n, 12) of craft and Moon has met the ground."""
    height = np.linalg.norm(path[:, :3] - path[:, 6:9], axis=1) - c.R_MOON
    return np.maximum.accumulate(height < 0.0)


def _epoch(relay: RelayCraft, lift_off: float) -> float:
    if relay.epoch is None:
        return lift_off
    return tdb_from_utc(datetime.combine(relay.epoch, time(0), timezone.utc))


def _stated(relay: RelayCraft, lift_off: float) -> LunarOrbit:
    high = relay.perilune if relay.apolune is None else relay.apolune
    elements = LunarElements(
        c.R_MOON + relay.perilune,
        c.R_MOON + high,
        relay.inclination,
        relay.node,
        relay.argument_of_perilune,
        relay.anomaly,
    )
    return orbit_of_elements(elements, _epoch(relay, lift_off))
