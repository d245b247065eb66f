"""The record of a flown entry, and what follows from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import inf, pi, sqrt

import numpy as np

from mplan.flight.through_air.let_down import let_down
from mplan.flight.through_air.splash import Splash, place
from mplan.physics import constants as c
from mplan.physics.entry import bank, heating, nose, reversals
from mplan.physics.entry.corridor import Corridor, corridor
from mplan.physics.entry.entry_flight import EntryFlight, EntryVehicle, Six, fly_entry
from mplan.physics.entry.entry_track import entry_arrays, heat_of
from mplan.physics.entry.heating import Heat
from mplan.physics.entry.parachutes import ParachuteDescent
from mplan.scenario.entry import Aeroshell, Parachutes


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
    straight: EntryFlight  # the same with no side lift: down where the return was timed for
    aimed: float  # m over the ground, that it was to fly
    descent: ParachuteDescent | None  # None where it skips out
    splash: Splash

    @cached_property
    def one_drogue_less(self) -> ParachuteDescent | None:
        """The descent with one drogue less, worked out when asked for."""
        return self._let_down(drogues_less=1)

    @cached_property
    def one_main_less(self) -> ParachuteDescent | None:
        """The descent with one main parachute less, worked out when asked for."""
        return self._let_down(mains_less=1)

    def _let_down(self, **less: int) -> ParachuteDescent | None:
        return let_down(self.flown, self.mass, self.vehicle, self.parachutes, **less)

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

    @property
    def diameter(self) -> float:
        """Of the area that drag is told on [m]."""
        area = self.mass / (self.vehicle.ballistic * self.aeroshell.drag_coefficient)
        return sqrt(4.0 / pi * area)

    @property
    def nose_radius(self) -> float:
        """The effective one [m]: of the sphere that is heated like this nose."""
        shell = self.aeroshell
        if shell.effective_nose_radius is not None:
            return shell.effective_nose_radius
        return nose.effective_radius(shell.nose_radius, self.diameter, shell.lift_to_drag)

    @cached_property
    def track(self) -> Mapping[str, np.ndarray]:
        """By name, each an array (n,): see `entry_track.entry_arrays`."""
        return entry_arrays(self.flown.rows)

    @cached_property
    def heat(self) -> Heat:
        """Heating of the stagnation point along the track."""
        return heat_of(self.flown.rows, self.nose_radius)

    @property
    def shield_required(self) -> float | None:
        """What the heat load takes off the nose [kg/m2]; None where the material is not told.

        Of the load at the upper end of its error.
        """
        heat = self.aeroshell.effective_heat
        return None if heat is None else heating.ablated(self.heat.upper_load, heat)

    @property
    def shield_mass(self) -> float | None:
        """What may ablate [kg] of a front, a spherical cap, as thick all over as at the nose.

        A bound where the nose is the hottest place; flanks are neglected. None where the areal
        mass is not told, or the nose is too sharp for a cap of this width.
        """
        area = nose.cap_area(self.aeroshell.nose_radius, self.diameter)
        there = self.aeroshell.shield_areal_mass
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
    def miss(self) -> float:
        """How far [m] the drogues open from where they would have with no side lift at all."""
        return reversals.miss(self.flown, self.straight)

    @cached_property
    def aside(self) -> float:
        """How far [m] that would be if the bank never went over to the other side."""
        if not self.lands or not self.flown.reversals:
            return self.miss
        held = reversals.towards(self.straight, inf)
        steering, start = self.straight.steering, self.start
        return reversals.miss(
            fly_entry(start, self.vehicle, steering, self.stop, homing=held), self.straight
        )

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
        ends = [
            each
            for kind in bank.KINDS
            for each in bank.within(self.start, self.vehicle, self.stop, self.limit, kind)
            if each.peak.load <= self.limit
        ]
        if not ends:
            return ()
        shortest, longest = (pick(ends, key=lambda each: each.range) for pick in (min, max))
        last = self.descent.duration if self.descent else 0.0
        return tuple(place(each, self.t, last) for each in (shortest, longest))
