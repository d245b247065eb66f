"""At the Moon, as a workbook tells it: the descent, the stay, the ascent.

Each answer is a table, a picture, or a sentence where the question does not arise.
"""

from __future__ import annotations

import numpy as np

from mplan.checks.landing import in_view
from mplan.contingencies import descent_aborts
from mplan.contingencies.descent_aborts import DescentAbort
from mplan.flight.record import BurnRecord
from mplan.physics import constants as c
from mplan.physics.landing.descent import DescentFlight
from mplan.plan import Plan
from mplan.scenario import heights
from mplan.show import lunar_orbits as rows
from mplan.show import notebook
from mplan.show.notebook import Table, Words
from mplan.show.reached import NOBODY, asks_splash, no_ascent, no_ship
from mplan.show.tables import Column, framed
from mplan.show.told import told
from mplan.show.translunar.tables import leg
from mplan.studies import stay

NO_LANDING = "This mission does not land on the Moon."
NO_ORBIT = "This mission does not enter lunar orbit."


def facts(plan: Plan) -> dict[str, str]:
    """Return the figures of the landing and the way back to orbit, by name."""
    descent, burn = plan.flight.end.descent, leg(plan, "powered descent")
    up = leg(plan, "lunar ascent")
    if burn is None:
        return {"landing": "none"}
    if descent is None:
        return {"landing": f"not flown: {burn.trouble}"}
    return {
        "powered descent": told("{:.0 m/s} in {:.0 s}", descent.delta_v, descent.duration),
        "descent perilune": heights.of_descent(plan.scenario),
        "margin": told("{:.0 m/s}", burn.margin),
        "hover left at touchdown": told("{:.0 s}", descent.seconds_left),
        "touchdown": told("{:.1 m/s}, {:.1 m} from the site", descent.speed, descent.miss),
        "site in view": told("{:.0 %} of the approach", 100.0 * in_view(plan.flight)),
        "lunar ascent": _ascent(up),
    }


@asks_splash
def figures(plan: Plan) -> Words:
    """Return the same as a table."""
    return notebook.facts(facts(plan))


def _ascent(burn: BurnRecord | None) -> str:
    if burn is None:
        return "none"
    if burn.trouble:
        return f"not flown: {burn.trouble}"
    values = (burn.required, burn.duration, burn.margin)
    return told("{:.0 m/s} in {:.0 s}, margin {:.0 m/s}", *values)


@asks_splash
def lunar_orbits(plan: Plan) -> Words:
    """Return the orbit after each burn that made it, and as the ship leaves it."""
    return Table(framed(rows.COLUMNS, plan.flight.lunar_orbits), NO_ORBIT)


@asks_splash
def phases(plan: Plan) -> Words:
    """Return the phases of the descent, and the whole."""
    descent = plan.flight.end.descent
    if descent is None:
        return notebook.sentence(NO_LANDING)
    return Table(framed(_PHASES, [(descent, x) for x in descent.phases]))


def _at(descent: DescentFlight, t: float) -> int:
    return int(np.argmin(np.abs(descent.track.t - t)))


_PHASES = (
    Column("phase", lambda row: row[1].name),
    Column("begins [s]", lambda row: row[1].t, 0),
    Column("lasts [s]", lambda row: row[1].duration, 0),
    Column(
        "altitude over the site [m]", lambda row: row[0].track.altitude[_at(row[0], row[1].t)], 0
    ),
    Column("to go [km]", lambda row: row[0].track.range[_at(row[0], row[1].t)] / 1e3, 2),
    Column("speed [m/s]", lambda row: row[0].track.speed[_at(row[0], row[1].t)], 1),
    Column("vertical [m/s]", lambda row: row[0].track.climb[_at(row[0], row[1].t)], 1),
    Column("spent in it [m/s]", lambda row: row[1].delta_v, 0),
    Column("propellant [kg]", lambda row: row[1].propellant, 0),
)


@asks_splash
def ascent_table(plan: Plan, every: float = 60.0) -> Words:
    """Return the ascent about every so many [s], from lift-off to cut-off."""
    if no_ascent(plan):
        return notebook.sentence(no_ascent(plan))
    climb = plan.flight.end.lunar_ascent
    if climb is None:
        return notebook.sentence(NO_LANDING)
    t = climb.track.t
    times = [0.0, climb.rise, *np.arange(every, climb.duration, every), climb.duration]
    points = sorted({int(np.argmin(np.abs(t - x))) for x in times})
    return Table(framed(_ASCENT, [(climb.track, i) for i in points]))


_ASCENT = (
    Column("after lift-off [s]", lambda row: row[0].t[row[1]], 0),
    Column("altitude over the site [km]", lambda row: row[0].altitude[row[1]] / 1e3, 2),
    Column("along the ground [km]", lambda row: row[0].covered[row[1]] / 1e3, 1),
    Column("speed, inertial [m/s]", lambda row: row[0].speed[row[1]], 0),
    Column("vertical [m/s]", lambda row: row[0].climb[row[1]], 1),
    Column("pitch [deg]", lambda row: row[0].pitch[row[1]] / c.DEG, 1),
    Column("mass [t]", lambda row: row[0].mass[row[1]] / 1e3, 2),
)


@asks_splash
def losses(plan: Plan) -> Words:
    """Return what descent and ascent cost beyond the speed taken off or put on, by cause."""
    burns = [leg(plan, name) for name in ("powered descent", "lunar ascent")]
    rows = [(burn, *each) for burn in burns if burn for each in burn.losses.items()]
    return Table(framed(_LOSSES, rows), NO_LANDING)


_LOSSES = (
    Column("burn", lambda row: row[0].name),
    Column("cause", lambda row: row[1]),
    Column("loss [m/s]", lambda row: row[2], 1),
)


@asks_splash
def abort_table(plan: Plan, count: int = 12) -> Words:
    """Return some of them, with the dead zone near the ground."""
    if plan.flight.end.descent is not None and not plan.scenario.mission.landing_crew:
        return notebook.sentence(NOBODY)
    found = descent_aborts.along_descent(plan.flight, count)
    return Table(framed(_ABORTS, found.ascent), NO_LANDING)


def _finite(value: float) -> float | None:
    return value if np.isfinite(value) else None


def _margin(x: DescentAbort) -> float | None:
    return _finite(x.margin)


_ABORTS = (
    Column("after ignition [s]", lambda x: x.t, 0),
    Column("altitude over the site [m]", lambda x: x.altitude, 0),
    Column("sink [m/s]", lambda x: x.sink, 1),
    Column("ascent stage, required, estimate [m/s]", lambda x: _finite(x.required), 0),
    Column("margin, estimate [m/s]", _margin, 0),
    Column("dead zone below, estimate [m]", lambda x: _finite(x.dead_zone), 0),
)


@asks_splash
def passes(plan: Plan) -> Words:
    """Return the passes of the ship over the site, each with its ascent."""
    if no_ship(plan):
        return notebook.sentence(no_ship(plan))
    return Table(framed(_PASSES, stay.passes(plan)), NO_LANDING)


_PASSES = (
    Column("after touchdown [h]", lambda x: x.after / c.HOUR, 2),
    Column("Sun [deg]", lambda x: x.sun / c.DEG, 1),
    Column("site off the plane [deg]", lambda x: x.off / c.DEG, 2),
    Column("ascent [m/s]", lambda x: _finite(x.required), 0),
    Column("of it for the plane [m/s]", lambda x: _finite(x.plane), 0),
    Column("margin [m/s]", lambda x: _finite(x.margin), 0),
)


@asks_splash
def ship(plan: Plan) -> Words:
    """Return what the orbiting ship does through the stay."""
    if no_ship(plan):
        return notebook.sentence(no_ship(plan))
    if stay.landed(plan) is None:
        return notebook.sentence(NO_LANDING)
    found = stay.ship(plan)
    view = found.view
    known = {
        "revolutions": f"{found.revolutions:.1f} of {view.period / c.MINUTE:.1f} min",
        "passes over the site": f"{found.over}",
        "out of contact": f"{view.out_of_contact / c.MINUTE:.1f} min of each",
        "in shadow": f"{view.in_shadow / c.MINUTE:.1f} min of each",
    }
    return notebook.facts(known)
