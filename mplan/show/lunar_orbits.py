"""The orbit about the Moon in one line, and as rows of a table."""

from __future__ import annotations

from mplan.flight.arrival.orbits_flown import OrbitFlown
from mplan.physics.constants import DEG, R_MOON
from mplan.plan import Plan
from mplan.show.columns import Column, clock
from mplan.show.told import told


def line(plan: Plan) -> str:
    """Return what the orbit was after the last burn into it, and when the ship leaves it.

    "" for a mission without one.
    """
    flown = plan.flight.lunar_orbits
    shaped = [each for each in flown if each.shaped]
    if not shaped:
        return ""
    text = told("lunar orbit {}", _told(shaped[-1], "inclined "))
    left = next((each for each in flown if not each.shaped), None)
    return told("{}; at {} {}", text, left.event, _told(left)) if left else text


def _told(flown: OrbitFlown, inclined: str = "") -> str:
    found = flown.apsides
    low, high = ((x - R_MOON) / 1e3 for x in (found.perilune, found.apolune))
    form = "{:.1(km)} by {:.1 km}, {}{:.1 deg}"
    text = told(form, low, high, inclined, found.inclination / DEG)
    if found.argument is None or high - low < ALIKE:
        return text
    return told("{}, perilune at {:.0 deg}", text, found.argument / DEG)


ALIKE = 10.0  # km between apsides: less is a circle as the Moon's field lets it breathe


def _argument(flown: OrbitFlown) -> float | None:
    argument = flown.apsides.argument
    return None if argument is None else argument / DEG


COLUMNS: tuple[Column, ...] = (
    Column("after", lambda x: x.event),
    Column("since lift-off", lambda x: clock(x.elapsed)),
    Column("perilune [km]", lambda x: (x.apsides.perilune - R_MOON) / 1e3, 1),
    Column("apolune [km]", lambda x: (x.apsides.apolune - R_MOON) / 1e3, 1),
    Column("inclination [deg]", lambda x: x.apsides.inclination / DEG, 2),
    Column("argument of perilune [deg]", _argument, 1),
)
