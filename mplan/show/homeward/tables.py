"""The way home in figures and tables, and what its alternatives cost.

Each answer is a table, a picture, or a sentence where the question does not arise.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from mplan.flight.entry import Splash
from mplan.flight.record import BurnRecord
from mplan.physics import constants as c
from mplan.plan import Plan
from mplan.show import notebook
from mplan.show.columns import lit
from mplan.show.notebook import Table, Words
from mplan.show.reached import asks_home
from mplan.show.tables import Column, framed
from mplan.show.told import told
from mplan.show.translunar import flown_legs
from mplan.show.translunar.tables import CORRECTIONS, NO_ERRORS, allowed, leg
from mplan.studies import entries, latitudes, maps, midcourse
from mplan.studies.latitudes import Reach
from mplan.studies.maps import Map

WAITS = (0.0, 12.0, 24.0, 36.0, 48.0, 60.0, 72.0)  # h after the planned return burn
FLIGHTS = (52.0, 60.0, 68.0, 76.0, 84.0, 92.0)  # h
TIMES = (3.0, 6.0, 12.0, 24.0, 36.0, 48.0, 60.0)  # h after the return burn, of corrections
NO_BURN = "This mission comes round the Moon on a free return: no burn sends it home, and so "
NO_BURN += "there is nothing to choose."


def facts(plan: Plan) -> dict[str, str]:
    """Return the figures of the way home, by name."""
    entry, end = entries.interface(plan), plan.flight.end
    begin = end.homeward.t if end.homeward else end.outbound.perilune.t
    when = _utc(plan, splash(plan).t)
    return {
        "return burn": _burn(plan),
        "time of flight": told("{:.1 h}", (entry.t - begin) / c.HOUR),
        "entry interface": _utc(plan, entry.t),
        "entry speed": told("{:.0 m/s}, inertial", entry.speed),
        "entry angle": told("{:.2 deg}", entry.angle / c.DEG),
        "splash": told("{}, {:was}, {:was}{}", when, place(plan), light(plan), _guess(plan)),
    }


@asks_home
def figures(plan: Plan) -> Words:
    """Return the same as a table."""
    return notebook.facts(facts(plan))


def _guess(plan: Plan) -> str:
    return " (estimate)" if splash(plan).estimate else ""


def _burn(plan: Plan) -> str:
    burn = leg(plan, "trans-Earth injection")
    if burn is None:
        return "none: a free return"
    tilted = f" ({burn.note})" if burn.note else ""
    when, form = plan.flight.utc(burn.elapsed), "{:.0 m/s}, {:%Y-%m-%d %H:%M} UTC, {:was}{}"
    return told(form, burn.required, when, burn.contact, tilted)


def _utc(plan: Plan, t: float) -> str:
    return told("{:%Y-%m-%d %H:%M} UTC", plan.flight.utc(t - plan.flight.end.lift_off))


def splash(plan: Plan) -> Splash:
    """Return the splash of a plan; ValueError for a flight without one."""
    found = plan.flight.splash
    if found is None:
        raise ValueError("this mission has no splash")
    return found


def place(plan: Plan) -> str:
    """Return where the splash is."""
    there = splash(plan)
    latitude, longitude = there.latitude / c.DEG, there.longitude / c.DEG
    longitude = (longitude + 180.0) % 360.0 - 180.0
    north, east = "NS"[latitude < 0.0], "EW"[longitude < 0.0]
    return f"{abs(latitude):.1f} deg {north} {abs(longitude):.1f} deg {east}"


def light(plan: Plan) -> str:
    """Return the light at the splash, with the Sun's elevation and the local solar time."""
    return f"in {lit(entries.light_at_splash(plan))}"


def find(plan: Plan, waits: Sequence[float] = WAITS, flights: Sequence[float] = FLIGHTS) -> Map:
    """Return the return burn [m/s] over waits [h] and times of flight [h]."""
    return maps.home(plan, [x * c.HOUR for x in waits], [x * c.HOUR for x in flights])


@asks_home
def choices(plan: Plan, waits: Sequence[float] = WAITS) -> Words:
    """Return the cheapest way home and the shortest flight that the tanks can pay for."""
    burn = leg(plan, "trans-Earth injection")
    if burn is None:
        return notebook.sentence(NO_BURN)
    found = find(plan, waits)
    cells = {
        "cheapest": found.cheapest(),
        "shortest flight within the tanks": found.quickest(_affordable(plan, burn)),
    }
    rows = [(name, cell, found) for name, cell in cells.items() if cell]
    return Table(framed(_CHOICES, rows))


def _affordable(plan: Plan, burn: BurnRecord) -> float:
    """Return the largest impulse [m/s] that leaves enough for the later burns of the engine.

    To first order: the margin after the last of them, turned over to this one.
    """
    last = [x for x in plan.burns if (x.element, x.engine) == (burn.element, burn.engine)][-1]
    return burn.impulse + last.margin


def _total(cell: tuple[int, int], found: Map) -> float:
    """Return wait and flight together [s]."""
    start = found.starts[cell[1]]
    if isinstance(start, date):
        raise TypeError("a way home starts at a time, not on a day")
    return found.flights[cell[0]] + start


_CHOICES = (
    Column("way home", lambda row: row[0]),
    Column("burn later by [h]", lambda row: row[2].starts[row[1][1]] / c.HOUR, 0),
    Column("time of flight [h]", lambda row: row[2].flights[row[1][0]] / c.HOUR, 0),
    Column("home after the planned burn by [h]", lambda row: _total(*row[1:]) / c.HOUR, 0),
    Column("return burn [m/s]", lambda row: row[2].delta_v[row[1]], 1),
)


@asks_home
def splash_latitudes(plan: Plan) -> Words:
    """Return which latitudes of splash are in reach, by how far the entry flies."""
    return Table(framed(_SPLASHES, latitudes.reaches(plan)), NO_BURN)


def _cheapest(reach: Reach) -> float:
    """Return the latitude [rad] of the cheapest plane."""
    return float(reach.family.latitudes[np.argmin(reach.family.burns)])


def _dearer(reach: Reach, latitude: float) -> float:
    """Return what a latitude [rad] costs more than the cheapest plane [m/s]."""
    return reach.cost(latitude) or 0.0


_SPLASHES = (
    Column("from the interface [km]", lambda x: x.downrange / 1e3, 0),
    Column("latitude of the cheapest plane, estimate [deg]", lambda x: _cheapest(x) / c.DEG, 1),
    Column("its return burn [m/s]", lambda x: x.lowest, 0),
    Column("southernmost, estimate [deg]", lambda x: x.family.reach[0] / c.DEG, 1),
    Column("extra for the southernmost [m/s]", lambda x: _dearer(x, x.family.reach[0]), 0),
    Column("northernmost, estimate [deg]", lambda x: x.family.reach[1] / c.DEG, 1),
    Column("extra for the northernmost [m/s]", lambda x: _dearer(x, x.family.reach[1]), 0),
)


@asks_home
def corrections(plan: Plan, times: Sequence[float] = TIMES) -> Words:
    """Return what one correction on the way home costs, by when it is made [h]."""
    if plan.scenario.errors is None:
        return notebook.sentence(NO_ERRORS + allowed(leg(plan, "homeward correction")))
    entry, end = entries.interface(plan), plan.flight.end
    begin = end.homeward.t if end.homeward else end.outbound.perilune.t
    inside = [x * c.HOUR for x in times if x * c.HOUR < entry.t - begin - c.HOUR]
    found = midcourse.homeward(plan, inside)
    return Table(framed(CORRECTIONS, found))


def published() -> Table:
    """Return the cheapest returns at the times of flown ones, beside those."""
    return Table(flown_legs.homeward())
