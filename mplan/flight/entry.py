"""Through the air to splashdown: flown from the interface to the drogues, then let down.

The bank is chosen so that the entry comes down where the return was timed for, `DOWNRANGE` on
from the interface, within the load limit and without a skip; where it cannot, it comes down as
near as it can, and a check says so. A crew module without [aeroshell] or [parachutes] is not
flown: its splash is an estimate and everything else about it is missing.

An entry outside its corridor kills: this is a planning study, and entry design belongs to
licensed practice with its own analysis.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import pi, sqrt
from typing import NamedTuple

import numpy as np

from mplan.flight.state import State
from mplan.physics import constants as c
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.arcs.nbody import Arrival
from mplan.physics.bodies import atmosphere, earth
from mplan.physics.bodies.downrange import place_ahead, wrapped
from mplan.physics.entry import bank, heating
from mplan.physics.entry.corridor import Corridor, corridor
from mplan.physics.entry.entry_air import density
from mplan.physics.entry.entry_flight import (
    EntryFlight,
    EntryRow,
    EntryVehicle,
    Six,
    entry_state,
    geodetic_place,
    ground_range,
)
from mplan.physics.entry.parachutes import CanopySet, ParachuteDescent, drag_area, under
from mplan.physics.vectors import frozen
from mplan.scenario import Element, Scenario
from mplan.scenario.entry import Aeroshell, Parachutes, ParachuteSet

DURATION = 15.0 * 60.0  # s, interface to splash of an entry that is not flown (common practice)
DOWNRANGE = 2.4e6  # m over the ground, aimed for if no area says (common practice, no source)
NOT_FLOWN = "fixed time and downrange from the interface"
SKIPPED = "the entry skips out; fixed time and downrange instead"


class Splash(NamedTuple):
    """Where [rad, geodetic, east positive] and when [TDB s] the crew comes down.

    `downrange` [m] over the ground from the interface; `estimate` says where all this comes from
    if it is not flown.
    """

    t: float
    latitude: float
    longitude: float
    downrange: float
    estimate: str = ""


@dataclass(frozen=True)
class Entry:
    """An entry as flown, SI. Tracks run from the interface at `t` [TDB s] to the drogues."""

    element: str
    t: float
    angle: float  # inertial flight-path angle at the interface [rad]
    inertial_speed: float  # m/s, there
    mass: float  # kg
    vehicle: EntryVehicle
    aeroshell: Aeroshell
    parachutes: Parachutes
    start: Six  # in axes of the true equator of date
    flown: EntryFlight
    aimed: float  # m over the ground, that it was to fly
    descent: ParachuteDescent | None  # None where it skips out
    one_drogue_less: ParachuteDescent | None
    one_main_less: ParachuteDescent | None
    splash: Splash

    @property
    def lands(self) -> bool:
        """Whether it comes down at all."""
        return self.descent is not None

    @property
    def limit(self) -> float:
        """The load limit [m/s2]."""
        return self.aeroshell.acceleration_limit * c.G0

    @property
    def stop(self) -> float:
        """Where the drogues open [m]."""
        return self.parachutes.drogues.altitude

    @cached_property
    def track(self) -> Mapping[str, np.ndarray]:
        """By name: `t` [s since the interface], `altitude`, `speed` (through the air), `load`
        [m/s2], `angle` [rad, through the air], `bank` [rad], `downrange` [m], `convective` and
        `radiative` heating [W/m2]; each an array (n,). `state` is (n, 6), axes as `start`.
        """
        return frozen(_track(self.flown.rows, self.aeroshell.nose_radius))

    @property
    def heating(self) -> np.ndarray:
        """Heating of the stagnation point [W/m2] along the track."""
        return self.track["convective"] + self.track["radiative"]

    @property
    def peak_heating(self) -> float:
        """The greatest heating of the stagnation point [W/m2]."""
        return float(np.max(self.heating))

    @property
    def heat_load(self) -> float:
        """Heat that the stagnation point takes up [J/m2]."""
        return heating.heat_load(self.track["t"], self.heating)

    @property
    def shield_required(self) -> float | None:
        """What the heat load takes off the nose [kg/m2]; None where the material is not told."""
        heat = self.aeroshell.effective_heat
        return None if heat is None else heating.ablated(self.heat_load, heat)

    @property
    def shield_mass(self) -> float | None:
        """What may ablate [kg] of a front, a spherical cap, as thick all over as at the nose.

        A bound where the nose is the hottest place; flanks are neglected. None where the areal
        mass is not told, or the nose is too sharp for a cap of this width.
        """
        shell = self.aeroshell
        across = sqrt(4.0 / pi * self.mass / (self.vehicle.ballistic * shell.drag_coefficient))
        area, there = heating.cap_area(shell.nose_radius, across), shell.shield_areal_mass
        return None if there is None or area is None else there * area

    @property
    def peak_load(self) -> float:
        """The greatest deceleration [standard g]."""
        return self.flown.peak.load / c.G0

    @property
    def bank(self) -> float:
        """The bank angle [rad] that was solved for."""
        return self.flown.steering.bank

    @property
    def pulls_out(self) -> bool:
        """Whether all lift pointed up until pull-out."""
        return self.flown.steering.pull_out

    @property
    def drogue_time(self) -> float:
        """Time [s] from the interface to the opening of the drogues, or the skip."""
        return self.flown.rows[-1].t

    @cached_property
    def corridor(self) -> Corridor:
        """The entry angles between too steep and too shallow, flown when asked for (20 ms)."""
        return corridor(self.start, self.vehicle, self.limit, self.stop)

    @cached_property
    def footprint(self) -> tuple[Splash, ...]:
        """The shortest and the longest entry within the limits, where they come down; or none."""
        return _footprint(self)


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
    flown = bank.aim_entry(start, vehicle, chutes.drogues.altitude, aimed, limit)
    let_down = _descents(flown, mass, vehicle, chutes)
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
        aimed=aimed,
        descent=let_down[0],
        one_drogue_less=let_down[1],
        one_main_less=let_down[2],
        splash=_splash(flown, let_down[0], interface, aimed),
    )


def aimed_range(scenario: Scenario) -> float:
    """Return how far [m] over the ground the entry is to fly, from the interface."""
    area = scenario.recovery
    return area.downrange if area and area.downrange is not None else DOWNRANGE


def straight_on(interface: Arrival, aimed: float, why: str = NOT_FLOWN) -> Splash:
    """Return the estimated splash: straight on by `aimed` [m], over the turning Earth."""
    latitude, longitude = place_ahead(interface.r, interface.v, interface.t, aimed)
    return Splash(interface.t + DURATION, latitude, longitude, aimed, why)


def craft(element: Element, shell: Aeroshell, mass: float) -> EntryVehicle:
    """Return what the air acts on when an element in its aeroshell weighs `mass` [kg]."""
    area = pi / 4.0 * (shell.diameter or element.diameter) ** 2
    slow = shell.subsonic_drag and mass / (shell.subsonic_drag * area)
    return EntryVehicle(mass / (shell.drag_coefficient * area), shell.lift_to_drag, slow)


def _descents(
    flown: EntryFlight, mass: float, vehicle: EntryVehicle, chutes: Parachutes
) -> tuple[ParachuteDescent | None, ...]:
    """Return the descent under all parachutes, one drogue less, one main less."""
    if flown.end != "down":
        return None, None, None
    last, body = flown.rows[-1], mass / (vehicle.slow or vehicle.ballistic)

    def down(drogues_less: int, mains_less: int) -> ParachuteDescent:
        drogues, mains = (
            canopies(chutes.drogues, drogues_less),
            canopies(chutes.mains, mains_less),
        )
        return under(mass, body, last.speed, -last.climb, drogues, mains, atmosphere.standard_air)

    return down(0, 0), down(1, 0), down(0, 1)


def canopies(stated: ParachuteSet, less: int = 0) -> CanopySet:
    """Return parachutes as the physics wants them, `less` of them having failed."""
    area = drag_area(stated.count - less, stated.diameter, stated.drag_coefficient)
    return CanopySet(area, stated.altitude, stated.reefed)


def _splash(
    flown: EntryFlight, descent: ParachuteDescent | None, interface: Arrival, aimed: float
) -> Splash:
    if descent is None:
        return straight_on(interface, aimed, SKIPPED)
    return _place(flown, interface.t, descent.duration)


def _place(flown: EntryFlight, t: float, descent: float) -> Splash:
    """Return where and when an entry begun at `t` [TDB s] ends up, straight below its drogues."""
    last = flown.rows[-1]
    latitude, longitude = geodetic_place(last.state, last.t)
    longitude = wrapped(longitude - earth.sidereal_angle(t))
    return Splash(t + last.t + descent, latitude, longitude, flown.range)


def _footprint(entry: Entry) -> tuple[Splash, ...]:
    """Return the ends of the reach, over both kinds of steering."""
    ends = [
        each
        for pull_out in (True, False)
        for each in bank.within(entry.start, entry.vehicle, entry.stop, entry.limit, pull_out)
    ]
    if not ends:
        return ()
    shortest, longest = (pick(ends, key=lambda each: each.range) for pick in (min, max))
    last = entry.descent.duration if entry.descent else 0.0
    return tuple(_place(each, entry.t, last) for each in (shortest, longest))


def _track(rows: tuple[EntryRow, ...], nose_radius: float) -> Mapping[str, np.ndarray]:
    t, altitude, speed, climb, load, up = (
        np.array([getattr(row, name) for row in rows])
        for name in ("t", "altitude", "speed", "climb", "load", "up")
    )
    air = np.array([density(row.altitude) for row in rows])
    first = rows[0].state
    return {
        "t": t,
        "state": np.array([row.state for row in rows]),
        "altitude": altitude,
        "speed": speed,
        "angle": np.arcsin(climb / speed),
        "load": load,
        "bank": np.arccos(np.clip(up, -1.0, 1.0)),
        "downrange": np.array([ground_range(first, row.state, row.t) for row in rows]),
        "convective": heating.convective(air, speed, nose_radius),
        "radiative": heating.radiative(air, speed, nose_radius),
    }
