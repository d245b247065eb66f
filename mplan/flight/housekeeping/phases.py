"""In which phase of the mission a craft is, from what has happened and what it is made of."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from mplan.flight.state import Craft, State
from mplan.physics.arcs.lunar_orbit import mean_radius
from mplan.physics.constants import MU_EARTH, MU_MOON, R_EARTH
from mplan.scenario import Element
from mplan.scenario.thruster_budget import PhaseName
from mplan.vehicle.inertia import LANDER, SHIP
from mplan.vehicle.same import remembered

_mean_radius = remembered(64)(mean_radius)  # of an orbit as the burn before made it
SOON = 1.0  # s, within which a moment counts as the end of a phase


def of(state: State, craft: Craft) -> PhaseName | None:
    """Return the phase of a craft; None in the climb and on the Moon, where nothing turns it."""
    if state.climbing or not craft or state.landed in craft:
        return None
    kind = _made_of(state.scenario.elements, craft)
    if kind.lander and state.lander is not None and state.descent is None:
        return "descent"
    if kind.lander and not kind.ship and _left_a_ship(state):
        return _of_lander(state)
    if state.moon is not None:
        return "lunar orbit, docked" if kind.lander else "lunar orbit, ship alone"
    if state.departing is None or state.t <= state.outbound.injection + SOON:
        return "parking orbit"
    if state.homeward is None and state.t <= state.outbound.perilune.t + SOON:
        return "translunar coast"
    return "entry" if kind.capsule else "transearth coast"


class _MadeOf(NamedTuple):
    """What a craft is made of: whether there is a lander in it, a ship, or a crew module alone."""

    lander: bool
    ship: bool
    capsule: bool


@remembered(256)
def _made_of(elements: Mapping[str, Element], craft: Craft) -> _MadeOf:
    roles = {elements[name].role for name in craft}
    return _MadeOf(bool(roles & set(LANDER)), bool(roles & set(SHIP)), roles == {"crew module"})


def _left_a_ship(state: State) -> bool:
    """Tell whether a lander alone has undocked from a ship; else it is on its way by itself."""
    bodies = state.scenario.elements
    return any(bodies[name].role in SHIP for joined in state.craft for name in joined)


def _of_lander(state: State) -> PhaseName | None:
    if state.lunar_ascent is not None:
        return "ascent and rendezvous"
    return "descent" if state.descent is None else None


def orbit(state: State, phase: PhaseName) -> tuple[float, float] | None:
    """Return gravitational parameter [m3/s2] and mean radius [m] of the orbit flown in a phase."""
    if phase == "parking orbit":
        return MU_EARTH, R_EARTH + state.scenario.orbits.parking_altitude
    if state.moon is None:
        return None
    alone = phase in ("descent", "ascent and rendezvous")
    own = state.lander if alone else None
    return MU_MOON, _mean_radius(state.moon.stated if own is None else own)
