"""The way to the Moon in figures and tables, and what its alternatives cost.

Each answer is a table, a picture, or a sentence where the question does not arise.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from mplan.checks.light import sun_at_landing
from mplan.flight.record import BurnRecord
from mplan.physics import constants as c
from mplan.plan import Plan
from mplan.scenario.heights import SPHERE
from mplan.scenario.profiles import APOLUNE_CHANGE, CIRCULARISATION
from mplan.show import launch_windows, notebook
from mplan.show.notebook import Table, Words
from mplan.show.reached import asks_splash
from mplan.show.tables import Column, framed
from mplan.show.told import told
from mplan.show.translunar.flown_legs import outward
from mplan.studies import captures, hybrids, midcourse, revolution
from mplan.studies.captures import Capture
from mplan.studies.windows import Answer

ALTITUDES = (110.0, 500.0, 1500.0)  # km, of free returns
TIMES = (3.0, 6.0, 12.0, 24.0, 36.0, 48.0, 60.0)  # h after the injection, of corrections
TURNS = (0.0, 5.0, 15.0, 30.0)  # deg, of the plane at the Moon
NO_ORBIT = "This mission flies past the Moon: it enters no orbit, and its free return decides "
NO_ORBIT += "the time of flight."
NO_ERRORS = "The scenario states no [errors] for its burns, so that corrections are an allowance "
NO_ERRORS += "(estimate): "


def facts(plan: Plan) -> dict[str, str]:
    """Return the figures of the way to the Moon, by name."""
    flight, out = plan.flight, plan.flight.end.outbound
    perilune = out.perilune
    height = float(np.linalg.norm(perilune.lunar_r)) - c.R_MOON
    launch = out.parking.site
    plane = (launch.azimuth / c.DEG, launch.inclination / c.DEG)
    known = {
        "lift-off": told("{:%Y-%m-%d %H:%M:%S} UTC", flight.utc(0.0)),
        "launch azimuth": told("{:.1 deg} over ground", launch.launch_azimuth / c.DEG),
        "orbit plane": told("{:.1 deg} over the pad, {:.1 deg} inclined", *plane),
        "injection": _cost(leg(plan, "translunar injection")),
        "time of flight": told("{:.1 h}", (perilune.t - out.injection) / c.HOUR),
        "perilune": told("{}, {:.0 km} above {}", _utc(plan, perilune.t), height / 1e3, SPHERE),
        "capture": _capture(plan),
    }
    sun = sun_at_landing(flight)
    if sun is not None:
        known["Sun at landing"] = told("{:.1 deg}", sun / c.DEG)
    return known


@asks_splash
def figures(plan: Plan) -> Words:
    """Return the same as a table."""
    return notebook.facts(facts(plan))


def leg(plan: Plan, name: str) -> BurnRecord | None:
    """Return the burn of a leg, if the mission has it."""
    return next((burn for burn in plan.burns if burn.leg == name), None)


def _cost(burn: BurnRecord | None) -> str:
    return "none" if burn is None else told("{:.0 m/s}", burn.required)


def _capture(plan: Plan) -> str:
    """Return what the lunar orbit costs, and whether Earth sees the burn that enters it."""
    first = leg(plan, "lunar-orbit insertion")
    if first is None:
        return "none: it flies past"
    into = [x for x in plan.burns if x.leg in (CIRCULARISATION, APOLUNE_CHANGE)]
    last = into[-1] if into else first
    total = sum(x.required for x in plan.burns if first.elapsed <= x.elapsed <= last.elapsed)
    return told("{:.0 m/s}, {:was}", total, first.contact)


def _utc(plan: Plan, t: float) -> str:
    return told("{:%Y-%m-%d %H:%M} UTC", plan.flight.utc(t - plan.flight.end.lift_off))


@asks_splash
def insertions(plan: Plan, turns: Sequence[float] = TURNS) -> Words:
    """Return the ways into lunar orbit, and what each costs with the plane turned by [deg]."""
    if plan.scenario.orbits.flyby_altitude is not None:
        return notebook.sentence(NO_ORBIT)
    ways = [captures.capture_options(plan, turn * c.DEG) for turn in turns]
    return Table(framed(_columns(turns), zip(*ways, strict=True)))


def _columns(turns: Sequence[float]) -> list[Column]:
    def total(i: int) -> Column:
        head = f"plane turned by {turns[i]:g} deg [m/s]" if turns[i] else "all burns [m/s]"
        return Column(head, lambda row: row[i].total, 1)

    return [
        Column("way in", lambda row: row[0].name),
        Column("burns [m/s]", lambda row: _burns(row[0])),
        Column("first to last [h]", lambda row: row[0].duration / c.HOUR, 1),
        *map(total, range(len(turns))),
    ]


def _burns(way: Capture) -> str:
    return " + ".join(f"{burn:,.1f}" for burn in way.burns if burn > 0.0)


@asks_splash
def corrections(plan: Plan, times: Sequence[float] = TIMES) -> Words:
    """Return what one correction on the way costs, by when it is made [h after injection]."""
    if plan.scenario.errors is None:
        return notebook.sentence(NO_ERRORS + allowed(leg(plan, "outbound correction")))
    out = plan.flight.end.outbound
    last = out.perilune.t - out.injection - c.HOUR
    found = midcourse.outbound(plan, [x * c.HOUR for x in times if x * c.HOUR < last])
    return Table(framed(CORRECTIONS, found))


def allowed(burn: BurnRecord | None) -> str:
    """Return what the scenario allows for a correction."""
    return "none." if burn is None else f"{burn.required:,.1f} m/s."


CORRECTIONS = (
    Column("after [h]", lambda x: x.after / c.HOUR, 0),
    Column("mean [m/s]", lambda x: x.mean, 1),
    Column("99 % [m/s]", lambda x: x.most, 1),
    Column("residual miss, rms [km]", lambda x: x.miss / 1e3, 1),
)


@asks_splash
def hybrid_arcs(
    plan: Plan, altitude: float = ALTITUDES[-1], times: Sequence[float] = TIMES
) -> Words:
    """Return what leaving a free return past `altitude` [km] at times [h] costs, for the plan."""
    if plan.scenario.orbits.flyby_altitude is not None:
        return notebook.sentence("This mission stays on its free return.")
    try:
        found = hybrids.leave_free_return(plan, altitude * 1e3, [x * c.HOUR for x in times])
    except ArithmeticError:
        return notebook.sentence(f"No free return past {altitude:,.0f} km was found on this day.")
    return Table(framed(_HYBRIDS, found))


_HYBRIDS = (
    Column("left after [h]", lambda x: x.after / c.HOUR, 0),
    Column("injection [m/s]", lambda x: x.injection, 1),
    Column("leaving it [m/s]", lambda x: x.departure, 1),
    Column("both [m/s]", lambda x: x.total, 1),
    Column("time of flight [h]", lambda x: x.translunar_time / c.HOUR, 1),
)


@asks_splash
def revolutions(plan: Plan) -> Words:
    """Return what revolutions through the stay see of Earth and Sun."""
    found = revolution.through_stay(plan)
    if not found:
        return notebook.sentence(NO_ORBIT)
    columns = [Column("when [UTC]", lambda x: _utc(plan, x.t).removesuffix(" UTC")), *_REVOLUTION]
    return Table(framed(columns, found))


_REVOLUTION = (
    Column("period [min]", lambda x: x.period / c.MINUTE, 1),
    Column("out of contact [min]", lambda x: x.out_of_contact / c.MINUTE, 1),
    Column("in shadow [min]", lambda x: x.in_shadow / c.MINUTE, 1),
    Column("Earth out of the plane [deg]", lambda x: x.earth_angle / c.DEG, 1),
    Column("Sun out of the plane [deg]", lambda x: x.sun_angle / c.DEG, 1),
)


def windows(found: Iterable[Answer]) -> Table:
    """Return launch windows, one row a chance."""
    return Table(launch_windows.frame(found), "No launch in these days.")


def published() -> Table:
    """Return published injection states flown to the Moon, beside the arrivals that were flown."""
    return Table(outward())
