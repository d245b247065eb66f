"""Lesson 1's burn beside what the kit finds: from two circles to the burn of a flown mission."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.plan import Plan
from mplan.scenario.stated import stated
from mplan.show.columns import Column
from mplan.show.notebook import Table
from mplan.show.tables import framed
from mplan.transfers import hohmann, translunar


class Line(NamedTuple):
    """A way to get at the burn, what it comes to [m/s], and what it takes in."""

    way: str
    burn: float
    takes_in: str


def beside(by_hand: float, plan: Plan) -> Table:
    """Return the burn found by hand [m/s] beside those of the kit, for the day of a plan."""
    columns = (
        Column("way", lambda line: line.way),
        Column("burn [m/s]", lambda line: line.burn, 1),
        Column("what it takes in", lambda line: line.takes_in),
    )
    return Table(framed(columns, list(_lines(by_hand, plan))))


def _lines(by_hand: float, plan: Plan) -> Iterator[Line]:
    orbits = plan.scenario.orbits
    time = stated(plan.scenario.dates.translunar_time, "translunar_time")
    parking = f"{orbits.parking_altitude / 1e3:g} km"
    hours = f"{time / c.HOUR:g} h"
    flown = next(x for x in plan.burns if x.leg == "translunar injection")
    day = plan.flight.utc(flown.elapsed).isoformat()
    there = translunar(day, time_of_flight=hours, parking_altitude=parking)
    yield Line("by hand", by_hand, "two circles, no Moon: your formula")
    yield Line("mplan.hohmann", hohmann(parking, to_distance="384400 km").first, "the same")
    yield Line(
        "mplan.translunar, conic",
        there.conic.delta_v,
        f"the Moon where it is, there after {hours}: faster than Hohmann",
    )
    yield Line(
        "mplan.translunar, integrated",
        there.delta_v,
        "the same, with Earth's bulge, Moon and Sun pulling all the way",
    )
    yield Line("flown, as an impulse", flown.impulse, "its own parking orbit, plane and hour")
    yield Line(
        "flown, with its loss",
        flown.required,
        f"the engine runs {flown.duration:,.0f} s and climbs meanwhile",
    )
