"""What a flight leaves up to each of its limits, each in the unit that it is told in.

Those of the brief's table, of the launch site, of thrusters, and the stated ones of climb, landing
and entry. What is counted in whole numbers, starts and dockings, no small change moves.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from mplan.checks import limits
from mplan.checks.limits import LimitRow
from mplan.checks.thrusters import accounts
from mplan.flight.record import Flight
from mplan.physics.constants import G0
from mplan.scenario.wording import plain
from mplan.vehicle import pad

COUNTED = ("starts", "docking cycles")
# By what a figure is off from flight to flight, by unit: the most that was measured over all limits
# of a landing, dry mass varied by 1 to 3 kg, and twice that.
NOISES = {
    "s": 1e-5,
    "kg": 2e-5,
    "kWh": 1e-7,
    "d": 1e-8,
    "deg/s2": 1e-6,
    "g0": 1e-8,
    "MW/m2": 1e-8,
    "MJ/m2": 2e-7,
}
NOISE = 1e-9  # of what is not flown, as heights, and of what was not measured
LAUNCH_SITE, THRUSTERS = "launch site", "thruster propellant to spare"


class LimitLeft(NamedTuple):
    """What is `left` up to a limit, in its `unit`; negative beyond it."""

    left: float
    unit: str

    @property
    def noise(self) -> float:
        """By what it is off from flight to flight, in its unit."""
        return NOISES.get(self.unit, NOISE)


def of(flight: Flight) -> Mapping[str, LimitLeft]:
    """Return what is left by the name of its limit, as far as the flight has come."""
    found = (*_counters(flight), *_site(flight), *_thrusters(flight), *_climb(flight))
    return dict((*found, *_landing(flight), *_entry(flight)))


def in_brief(flight: Flight) -> tuple[str, ...]:
    """Return the names of those that a brief tells: of its table's kinds the ones nearest."""
    found, rows = of(flight), limits.of(flight)
    nearest, table = {_named(x) for x in limits.tightest(rows)}, {_named(x) for x in rows}
    return tuple(name for name in found if name in nearest or name not in table)


Named = tuple[str, LimitLeft]


def _counters(flight: Flight) -> Iterator[Named]:
    for row in limits.of(flight):
        if row.left is not None and row.kind not in COUNTED:
            yield _named(row), LimitLeft(row.left, row.unit)


def _named(row: LimitRow) -> str:
    return f"{row.kind}, {row.name}"


def _site(flight: Flight) -> Iterator[Named]:
    for name, ship in (*flight.scenario.views.items(), ("", flight.scenario)):
        for each in pad.limits(ship):
            if each.found is not None and each.limit is not None:
                of_ship = f", {plain(name)}" if name else ""
                yield f"{LAUNCH_SITE}, {each.name}{of_ship}", _room(each)


def _room(each: pad.SiteLimit) -> LimitLeft:
    return LimitLeft(-each.over * each.scale, each.unit)


def _thrusters(flight: Flight) -> Iterator[Named]:
    for each in accounts(flight):
        yield f"{THRUSTERS}, {plain(each.element)}", LimitLeft(each.spare, "kg")


def _climb(flight: Flight) -> Iterator[Named]:
    flown, stated = flight.climb, flight.scenario.climb
    if flown is None:
        return
    if stated.acceleration_limit is not None:
        left = (stated.acceleration_limit - flown.most_acceleration.value) / G0
        yield "climb, acceleration", LimitLeft(left, "g0")
    if stated.pressure_limit is not None:
        left = (stated.pressure_limit - flown.most_dynamic_pressure.value) / 1e3
        yield "climb, dynamic pressure", LimitLeft(left, "kPa")


def _landing(flight: Flight) -> Iterator[Named]:
    flown, stated = flight.end.descent, flight.scenario.descent
    if flown is not None:
        left = flown.seconds_left - stated.reserve_time
        yield "landing, hover left beyond the reserve", LimitLeft(left, "s")
        left = stated.touchdown_limit - flown.speed
        yield "landing, speed at touchdown", LimitLeft(left, "m/s")


def _entry(flight: Flight) -> Iterator[Named]:
    flown = flight.end.entry
    if flown is None:
        return
    shell, heat = flown.aeroshell, flown.heat
    yield "entry, load on the crew", LimitLeft(shell.acceleration_limit - flown.peak_load, "g0")
    left = (shell.rated_heating - heat.upper_peak) / 1e6
    yield "entry, heat flux at its upper end", LimitLeft(left, "MW/m2")
    left = (shell.rated_heat_load - heat.upper_load) / 1e6
    yield "entry, heat load at its upper end", LimitLeft(left, "MJ/m2")
    if flown.descent is not None:
        left = flown.parachutes.touchdown_limit - flown.descent.touchdown
        yield "entry, speed at touchdown", LimitLeft(left, "m/s")
