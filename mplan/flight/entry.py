"""Through the air to splashdown: flown from the interface to the drogues, then let down.

The bank is chosen so that the entry comes down where the return was timed for, `DOWNRANGE` on
from the interface, within the load limit and without a skip; where it cannot, it comes down as
near as it can, and a check says so. Banked lift turns the path too: the bank reverses from side to
side, so that it comes down on the place. A crew module without [aeroshell] or [parachutes] is not
flown: its splash is an estimate and everything else about it is missing.

An entry outside its corridor kills: this is a planning study, and entry design belongs to
licensed practice with its own analysis.
"""

from __future__ import annotations

from functools import lru_cache
from math import pi

import numpy as np

from mplan.flight.state import State
from mplan.flight.through_air.let_down import canopies, let_down
from mplan.flight.through_air.record import Entry
from mplan.flight.through_air.splash import NOT_FLOWN, SKIPPED, Splash, place, straight_on
from mplan.physics import constants as c
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.entry import bank, reversals
from mplan.physics.entry.entry_flight import EntryFlight, EntryVehicle, Six, entry_state
from mplan.physics.entry.parachutes import ParachuteDescent
from mplan.scenario import Element, Scenario
from mplan.scenario.entry import Aeroshell

__all__ = [
    "DOWNRANGE",
    "NOT_FLOWN",
    "Entry",
    "Splash",
    "aimed_range",
    "canopies",
    "come_down",
    "straight_on",
]

DOWNRANGE = 2.4e6  # m over the ground, aimed for if no area says (common practice, no source)


def come_down(state: State, interface: Arrival, name: str) -> Entry | None:
    """Return the entry of the crew module `name`, flown; None if it lacks what that takes."""
    element = state.scenario.elements[name]
    shell, chutes = element.aeroshell, element.parachutes
    if shell is None or chutes is None:
        return None
    mass = state.mass(state.joined(name))
    vehicle = craft(element, shell, mass)
    start = entry_state(interface.r, interface.v, interface.t)
    limit, aimed = shell.acceleration_limit * c.G0, aimed_range(state.scenario)
    stop = chutes.drogues.altitude
    straight, flown = _banked(start, vehicle, stop, aimed, limit)
    descent = let_down(flown, mass, vehicle, chutes)
    return Entry(
        element=name,
        t=interface.t,
        angle=flight_path_angle(interface.r, interface.v),
        inertial_speed=float(np.linalg.norm(interface.v)),
        mass=mass,
        vehicle=vehicle,
        aeroshell=shell,
        parachutes=chutes,
        start=start,
        flown=flown,
        straight=straight,
        aimed=aimed,
        descent=descent,
        splash=_splash(flown, descent, interface, aimed),
    )


@lru_cache(maxsize=16)
def _banked(
    start: Six, vehicle: EntryVehicle, stop: float, aimed: float, limit: float
) -> tuple[EntryFlight, EntryFlight]:
    """Return the entry without and with its lift acting sideways, remembered by its inputs."""
    straight = bank.aim_entry(start, vehicle, stop, aimed, reversals.SPARED * limit)
    return straight, reversals.steer_sideways(straight, start, vehicle, stop)


def aimed_range(scenario: Scenario) -> float:
    """Return how far [m] over the ground the entry is to fly, from the interface."""
    area = scenario.recovery
    return area.downrange if area and area.downrange is not None else DOWNRANGE


def craft(element: Element, shell: Aeroshell, mass: float) -> EntryVehicle:
    """Return what the air acts on when an element in its aeroshell weighs `mass` [kg]."""
    area = pi / 4.0 * (shell.diameter or element.diameter) ** 2
    slow = shell.subsonic_drag and mass / (shell.subsonic_drag * area)
    return EntryVehicle(mass / (shell.drag_coefficient * area), shell.lift_to_drag, slow)


def _splash(
    flown: EntryFlight, descent: ParachuteDescent | None, interface: Arrival, aimed: float
) -> Splash:
    if descent is None:
        return straight_on(interface, aimed, SKIPPED)
    return place(flown, interface.t, descent.duration)
