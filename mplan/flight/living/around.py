"""What is about a craft through a span of a flight, as far as loads and panels ask for it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from mplan.flight.housekeeping import phases
from mplan.flight.state import Craft, State
from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris, shadow, sight
from mplan.scenario import Element
from mplan.vehicle.living.energy import NOTHING_SPECIAL, Around, Sunlight
from mplan.vehicle.same import remembered

CLIMB, ON_MOON = "climb", "on the Moon"


def around(state: State, craft: Craft, duration: float) -> Around:
    """Return the phase and the mean sunlight of a craft for a `duration` [s] from a state on.

    The share in the Sun is that of the orbit as it lies half-way, the shadow a cylinder; between
    Earth and Moon there is none. Where the date is not known the Sun is taken to shine, at 1 au.
    """
    return _around(state, craft, float(duration)) if craft else NOTHING_SPECIAL


@remembered(256)  # an event's span is asked for by its loads, its feeding and its record
def _around(state: State, craft: Craft, duration: float) -> Around:
    phases_count, sun_counts = _asks(state.scenario.elements)
    if not (phases_count or sun_counts):
        return NOTHING_SPECIAL
    landed = bool(state.landed) and state.landed in craft
    sun = _sunlight(state, duration, landed=landed) if sun_counts else Sunlight()
    return Around(phase_of(state, craft), sun)


def phase_of(state: State, craft: Craft) -> str:
    """Return what a craft's phase is called, in the climb and on the Moon too."""
    if state.climbing:
        return CLIMB
    if state.landed and state.landed in craft:
        return ON_MOON
    return phases.of(state, craft) or ("ascent and rendezvous" if state.moon else CLIMB)


@remembered(64)
def _asks(elements: Mapping[str, Element]) -> tuple[bool, bool]:
    """Tell whether any load goes by the phase, and whether any panel goes by the Sun."""
    powers = [x.power for x in elements.values() if x.power is not None]
    return any(x.loads for x in powers), any(x.arrays for x in powers)


def _sunlight(state: State, duration: float, *, landed: bool) -> Sunlight:
    if state.climbing:  # arrays are stowed
        return Sunlight(0.0)
    if not state.dated:
        return Sunlight(on_moon=landed)
    t = state.t + duration / 2.0
    strong = float(shadow.strength(np.zeros(3), t))
    if landed:
        place = state.scenario.site
        begin, end = state.t, state.t + max(duration, 1.0)
        dark = sight.time_in_night(place.latitude, place.longitude, begin, end)
        return Sunlight(1.0 - dark / (end - begin), strong, on_moon=True)
    return Sunlight(_share(state, t), strong)


def _share(state: State, t: float) -> float:
    """Return the share of the orbit about Moon or Earth that lies in the Sun."""
    sun = ephemeris.sun(t).r
    if state.moon is not None:
        to_sun = sun - ephemeris.moon(t).r
        orbit = state.orbit
        return shadow.share_in_sun(orbit.normal, state.moon.shadow_radius, c.R_MOON, to_sun)
    if state.departing is None or state.t >= state.outbound.injection:
        return 1.0
    parking, lift_off = state.outbound.parking, state.outbound.lift_off
    r, v = parking.state(lift_off, state.t - state.outbound.insertion)
    normal = np.cross(r, v)
    normal /= np.linalg.norm(normal)
    return shadow.share_in_sun(normal, parking.radius, c.R_EARTH, sun)
