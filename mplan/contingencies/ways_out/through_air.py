"""Ways through the air: as planned, ballistic, with lift to one side alone, with a parachute lost.

Each is flown from where the entry is when it is called. A ballistic entry rolls, so that its lift
cancels out; one that banks to a single side comes down aside of its place. What limits them are
load and heating, and the speed on the water.
An entry outside its corridor kills: a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

import numpy as np

from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import LandingPlace, WayOut
from mplan.flight.entry import canopies
from mplan.flight.record import Flight
from mplan.flight.through_air.record import Entry
from mplan.flight.through_air.splash import Splash, place
from mplan.physics import constants as c
from mplan.physics.bodies import atmosphere
from mplan.physics.entry.entry_flight import (
    EntryFlight,
    EntryRow,
    EntrySteering,
    EntryVehicle,
    Six,
    fly_entry,
)
from mplan.physics.entry.entry_track import heat_of
from mplan.physics.entry.homing import STRAIGHT, TowardsTarget
from mplan.physics.entry.parachutes import ParachuteDescent, under
from mplan.physics.vectors import cross, unit

PLANNED, BALLISTIC = "entry as planned", "ballistic entry, rolling"
SIDES = (("left", -1.0), ("right", 1.0))
LOST = (("drogue parachute", 1, 0), ("main parachute", 0, 1))


@dataclass(frozen=True)
class _InAir:
    """The entry at a time: the plan's, how long after the interface [s], and where it is then."""

    point: CabinPoint
    entry: Entry
    since: float

    @property
    def flight(self) -> Flight:
        return self.point.flight

    @property
    def row(self) -> EntryRow:
        """The moment of the plan's entry from which another one begins."""
        rows = self.entry.flown.rows
        return max((x for x in rows if x.t <= max(0.0, self.since)), key=lambda x: x.t)

    @property
    def begin(self) -> Six:
        """Its state, in axes of the true equator of date."""
        return self.row.state

    @property
    def t(self) -> float:
        """When that is [TDB s]."""
        return self.entry.t + self.row.t

    def way(self, name: str, splash: Splash, closed: str = "", note: str = "") -> WayOut:
        """Return a way down to a splash."""
        return WayOut(
            name=name,
            called=self.point.elapsed,
            craft=(self.entry.element,),
            home=splash.t - self.flight.end.lift_off,
            lands=LandingPlace(splash.latitude, splash.longitude),
            closed=closed,
            note=note,
        )


def ways(point: CabinPoint, failure: FailureName) -> Iterator[WayOut]:
    """Yield the ways down of a cabin in the air, whatever has failed: none of them burns."""
    flight, entry = point.flight, point.flight.end.entry
    if entry is None or not entry.lands:
        yield from _not_flown(point)
        return
    here = _InAir(point, entry, flight.end.lift_off + point.elapsed - entry.t)
    peak = max(x.load for x in entry.flown.rows if x.t >= here.row.t)
    yield here.way(PLANNED, entry.splash, note=f"up to {peak / c.G0:.1f} g")
    if here.since < entry.drogue_time:
        yield _flown(here, BALLISTIC, _ballistic(here))
        if entry.vehicle.lift_to_drag:
            for name, sense in SIDES:
                yield _flown(here, f"entry banked to the {name} only", _to_one_side(here, sense))
    yield from _under_less(here)


def _not_flown(point: CabinPoint) -> Iterator[WayOut]:
    """Yield the plan's estimate: without aeroshell and parachutes nothing else is examined."""
    splash = point.flight.splash
    if splash is None:
        return
    home = splash.t - point.flight.end.lift_off
    place = LandingPlace(splash.latitude, splash.longitude)
    note = "ballistic entry and parachutes not examined: no [aeroshell] or [parachutes] is stated"
    yield WayOut(
        PLANNED,
        point.elapsed,
        point.craft,
        home=home,
        lands=place,
        note=note,
        estimate=f"splash: {splash.estimate}",
    )


def _ballistic(here: _InAir) -> EntryFlight:
    """Return the entry with no lift: rolling steadily, it points everywhere alike."""
    craft = here.entry.vehicle
    rolling = EntryVehicle(craft.ballistic, 0.0, craft.slow)
    return fly_entry(here.begin, rolling, EntrySteering(0.0, pull_out=False), here.entry.stop)


def _to_one_side(here: _InAir, sense: float) -> EntryFlight:
    """Return the entry at the plan's bank, held to the left (-1.0) or the right of its path."""
    steering = here.entry.flown.steering
    if here.row.t > 0.0 and here.row.up == steering.up:
        steering = steering._replace(pull_out=False)
    r, v = np.array(here.begin[:3]), np.array(here.begin[3:])
    aside = sense * unit(cross(v, r))
    x, y, z = aside.tolist()
    held = TowardsTarget((x, y, z), inf) if abs(steering.up) < 1.0 else STRAIGHT
    return fly_entry(here.begin, here.entry.vehicle, steering, here.entry.stop, homing=held)


def _flown(here: _InAir, name: str, flown: EntryFlight) -> WayOut:
    """Return a way down as flown, with what it loads crew and shield with."""
    entry = here.entry
    if flown.end != "down":
        return WayOut(name, here.point.elapsed, (entry.element,), closed="it skips out")
    last = flown.last
    down = _let_down(entry, last, 0, 0)
    there = place(flown, here.t, down.duration)
    heat = heat_of(flown.rows, entry.nose_radius)
    load, off = flown.peak.load / c.G0, _apart(there, entry.splash)
    shell, most = entry.aeroshell, here.flight.scenario.aborts.peak_load
    closed = ""
    if load > max(most, shell.acceleration_limit):
        closed = f"the crew bear {load:.1f} g"
    elif heat.upper_peak > shell.rated_heating:
        rated = f"{shell.rated_heating / 1e6:.1f} MW/m2"
        closed = f"heating of up to {heat.upper_peak / 1e6:.1f} MW/m2, the shield is rated {rated}"
    felt = f"up to {load:.1f} g and {heat.upper_peak / 1e6:.1f} MW/m2"
    note = f"{felt}; splash {off / 1e3:,.0f} km from the planned place"
    over = load > shell.acceleration_limit
    said = f"{note}; above the {shell.acceleration_limit:.0f} g it is made for" if over else note
    return here.way(name, there, closed, said)


def _apart(one: Splash, other: Splash) -> float:
    """Return the distance between two places on Earth [m], on a sphere."""
    places = [
        np.array(
            [
                np.cos(x.latitude) * np.cos(x.longitude),
                np.cos(x.latitude) * np.sin(x.longitude),
                np.sin(x.latitude),
            ]
        )
        for x in (one, other)
    ]
    return float(c.R_EARTH * np.arccos(np.clip(places[0] @ places[1], -1.0, 1.0)))


def _let_down(entry: Entry, last: EntryRow, drogues: int, mains: int) -> ParachuteDescent:
    """Return the descent under parachutes from a moment, some of them lost."""
    body, chutes = entry.mass / (entry.vehicle.slow or entry.vehicle.ballistic), entry.parachutes
    return under(
        entry.mass,
        body,
        last.speed,
        -last.climb,
        canopies(chutes.drogues, drogues),
        canopies(chutes.mains, mains),
        atmosphere.standard_air,
    )


def _under_less(here: _InAir) -> Iterator[WayOut]:
    """Yield the way down with one parachute of a kind lost: how fast it meets the water.

    It is lost as it opens: once the cabin would be down by now without it, it has opened.
    """
    entry = here.entry
    assert entry.descent is not None
    for name, drogues, mains in LOST:
        stated = entry.parachutes.drogues if drogues else entry.parachutes.mains
        title = f"one {name} of {stated.count} lost"
        if stated.count == 1:
            yield WayOut(
                title, here.point.elapsed, (entry.element,), closed="it has no other of its kind"
            )
            continue
        down = _let_down(entry, entry.flown.last, drogues, mains)
        sooner = down.duration - entry.descent.duration
        splash = entry.splash._replace(t=entry.splash.t + sooner)
        if splash.t - here.flight.end.lift_off < here.point.elapsed:
            continue
        limit = entry.parachutes.touchdown_limit
        fast = f"touchdown at {down.touchdown:.1f} m/s"
        closed = f"{fast}, above {limit:.1f} m/s" if down.touchdown > limit else ""
        yield here.way(title, splash, closed, fast)
