"""The rendezvous, as a workbook tells it: its burns, its schedules, its picture, and a rescue.

Each answer is a table, a picture, or a sentence where the question does not arise.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from mplan.contingencies.rescue import Rescue, every
from mplan.physics.constants import DEG, MINUTE, R_MOON
from mplan.plan import Plan
from mplan.scenario.heights import SPHERE
from mplan.show import notebook
from mplan.show.columns import Column, clock
from mplan.show.notebook import Table, Words
from mplan.show.reached import asks_splash
from mplan.show.tables import framed
from mplan.studies import meetings

NO_RENDEZVOUS = "No lander comes back to a ship in this mission: there is no rendezvous."
ALONE = "No schedule brings the ship to the ascent stage."


def facts(plan: Plan) -> dict[str, str]:
    """Return the figures of the rendezvous, by name; none where there is none."""
    flown = plan.flight.end.rendezvous
    if flown is None:
        return {}
    meeting, allowed = flown.meeting, plan.scenario.rendezvous
    found = {
        "schedule": meeting.terms.schedule,
        "ship ahead at insertion": f"{flown.phase / DEG:.1f} deg, "
        f"planned {flown.planned / DEG:.1f} deg",
        "insertion to contact": f"{meeting.duration / MINUTE:.0f} min",
        "burns": f"{meeting.total:.1f} m/s, and {allowed.midcourse + allowed.docking:.1f} m/s "
        "allowed for midcourse and docking",
        "lowest perilune": f"{(meeting.lowest - R_MOON) / 1e3:.1f} km above {SPHERE}",
    }
    return {**found, "does not fit": flown.misfit} if flown.misfit else found


@asks_splash
def rendezvous_burns(plan: Plan) -> Words:
    """Return the burns in order, with what is seen and whether Earth sees it."""
    flown = plan.flight.end.rendezvous
    if flown is None:
        return notebook.sentence(NO_RENDEZVOUS)
    start = flown.meeting.active.t - plan.flight.end.lift_off
    first = Column("after insertion", lambda burn: clock(burn.elapsed - start))
    return Table(framed([_NAME, first, *_BURNS], flown.burns))


@asks_splash
def schedules(plan: Plan) -> Words:
    """Return what each schedule would take, with the ship where it wants it."""
    return Table(framed(_OPTIONS, meetings.schedule_options(plan)), NO_RENDEZVOUS)


@asks_splash
def rescue(plan: Plan) -> Words:
    """Return how the ship would rescue a stranded ascent stage, and the margin then left."""
    if plan.flight.end.rendezvous is None:
        return notebook.sentence(NO_RENDEZVOUS)
    return Table(framed(_RESCUES, every(plan.flight)), ALONE)


def _way(way: Rescue) -> str:
    terms = way.meeting.terms
    if terms.schedule == "direct":
        return "direct"
    return f"coelliptic, begun after {terms.revolutions - 0.5:.1f} revolutions"


def _km(value: Callable[[Any], float]) -> Callable[[Any], float]:
    return lambda row: value(row) / 1e3


_NAME = Column("burn", lambda burn: burn.name)
_BURNS: tuple[Column, ...] = (
    Column("delta-v [m/s]", lambda burn: burn.delta_v, 2),
    Column("burn time [s]", lambda burn: burn.duration, 1),
    Column("propellant [kg]", lambda burn: burn.propellant, 1),
    Column("engine", lambda burn: burn.engine),
    Column("range to the ship [km]", _km(lambda burn: burn.range), 2),
    Column("ship over the horizon [deg]", lambda burn: burn.elevation / DEG, 1),
    Column("seen from Earth", lambda burn: burn.contact),
)
_OPTIONS = (
    Column("schedule", lambda row: row.schedule),
    Column("begun at apolune no.", lambda row: _apolune(row)),
    Column("ship ahead at insertion [deg]", lambda row: row.lead / DEG, 1),
    Column("lift-off later by [min]", lambda row: row.later / MINUTE, 1),
    Column("delta-v [m/s]", lambda row: row.total, 1),
    Column("propellant [kg]", lambda row: row.propellant, 1),
    Column("insertion to contact [min]", lambda row: row.duration / MINUTE, 0),
    Column("terminal phase begins", lambda row: row.sight),
)
_RESCUES = (
    Column("ascent stage stranded", lambda way: way.stranded.when),
    Column("ship's way", _way),
    Column("to the ascent stage [m/s]", lambda way: way.meeting.total, 1),
    Column("return [m/s]", lambda way: way.back.total, 1),
    Column("time to contact [min]", lambda way: way.meeting.duration / MINUTE, 0),
    Column(
        "lowest perilune above the sphere [km]", lambda way: (way.meeting.lowest - R_MOON) / 1e3, 1
    ),
    Column("propellant [kg]", lambda way: way.propellant, 0),
    Column("margin after the return burns [m/s]", lambda way: way.left, 1),
    Column("of it reserved [m/s]", lambda way: way.reserved, 1),
)


def _apolune(option: meetings.ScheduleOption) -> str:
    return "" if option.schedule == "direct" else str(option.revolutions)
