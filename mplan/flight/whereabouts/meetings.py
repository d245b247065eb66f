"""The part of a way that leads to another craft, from the first burn of a rendezvous to contact."""

from __future__ import annotations

import numpy as np

from mplan.flight.whereabouts.stretch import WayStretch, times
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.bodies import ephemeris
from mplan.physics.rendezvous.launch_passes import Orbiting
from mplan.physics.rendezvous.meeting import Meeting
from mplan.physics.rendezvous.relative import orbit_at, orbit_axes

STEP = 60.0  # s


def met(flown: Meeting) -> WayStretch:
    """Return the way of the craft that burns, about Earth or the Moon, as in two bodies."""
    t, r = _flown(flown)
    if isinstance(flown.active, LunarOrbit):
        return WayStretch("lunar rendezvous", t, r + ephemeris.moon(t).r)
    return WayStretch("Earth-orbit rendezvous", t, r)


def met_over_earth(flown: Meeting, target: Orbiting) -> WayStretch:
    """Return the way of the craft that burns, beside a target on its orbit as Earth's J2 has it.

    In two bodies both fall behind by some 40 km a revolution.
    """
    t, r = _flown(flown)
    for i, x in enumerate(t.tolist()):
        there = target.at(x)
        r[i] = orbit_axes(there).T @ (orbit_axes(orbit_at(flown.target, x)) @ r[i])
    return WayStretch("Earth-orbit rendezvous", t, r)


def _flown(flown: Meeting) -> tuple[np.ndarray, np.ndarray]:
    """Return times and places of the active craft from the body's centre."""
    orbits = [flown.active, *(step.after for step in flown.steps)]
    ends = [*(x.t for x in orbits[1:]), flown.docked]
    arcs = [(x, times(x.t, end, STEP)) for x, end in zip(orbits, ends, strict=True) if end > x.t]
    t = np.concatenate([each[:-1] for _, each in arcs] + [[flown.docked]])
    places = [orbit_at(orbit, x).r for orbit, each in arcs for x in each[:-1].tolist()]
    return t, np.array([*places, orbit_at(orbits[-1], flown.docked).r])
