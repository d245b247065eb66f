"""The climb in figures and tables: staging, losses, falls and off-nominal cases."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from mplan.contingencies.coverage import Coverage
from mplan.flight.ascent import kept
from mplan.physics import constants as c
from mplan.physics.climb.impact import Footprint
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.plan import Plan
from mplan.scenario.wording import place, plain
from mplan.show import notebook
from mplan.show.climb import control_authority, coverage_bars, escape_distance
from mplan.show.columns import Column
from mplan.show.notebook import Table, Words
from mplan.show.reached import NOBODY, asks_climb
from mplan.show.tables import ESTIMATE, framed
from mplan.show.told import told
from mplan.studies.off_nominal import (
    OffNominalCase,
    engine_out_cases,
    footprints,
    upper_stage_cases,
    usual_cases,
    weather_cases,
)

OUT_TIMES = (0.0, 15.0, 30.0, 60.0, 90.0, 120.0)  # s after ignition, of an engine lost


def facts(plan: Plan) -> dict[str, str]:
    """Return the figures of the climb, by name."""
    climb = plan.flight.end.climb
    q, a = climb.most_dynamic_pressure, climb.most_acceleration
    pitchover, round_earth = climb.steering.pitchover_angle, climb.angle / c.DEG
    pressure = (q.value / 1e3, q.t, q.altitude / 1e3)
    return {
        "steering": kept(climb) or "optimised for most propellant at insertion",
        "pitchover angle": told("{:.2 deg} off the vertical", pitchover / c.DEG),
        "outcome": _outcome(plan),
        "insertion": told("after {:.1 s}, {:.2 deg} round Earth", climb.duration, round_earth),
        "propellant left": told("{:.2 t} in the {}", climb.left / 1e3, plain(climb.parts[-1].name)),
        "greatest dynamic pressure": told("{:.1 kPa} after {:.0 s}, {:.1 km} up", *pressure),
        "weather": _weather(plan),
        "greatest pressure times angle of attack": _bending(climb),
        "greatest acceleration": told("{:.2 g} after {:.0 s}", a.value / c.G0, a.t),
        "ideal velocity": told("{:.0 m/s}, {:.0 m/s} of it gained", climb.ideal, climb.gained),
    }


@asks_climb
def figures(plan: Plan) -> Words:
    """Return the same as a table."""
    return notebook.facts(facts(plan))


def _outcome(plan: Plan) -> str:
    climb = plan.flight.end.climb
    if climb.reached:
        return f"{plan.scenario.orbits.parking_altitude / 1e3:,.0f} km orbit reached"
    return climb.trouble


@asks_climb
def staging(plan: Plan) -> Words:
    """Return the state at each event of the climb."""
    return Table(framed(_STAGING, plan.flight.end.climb.track.events))


@asks_climb
def loss_table(plan: Plan) -> Words:
    """Return the losses by cause, a row a stage and one for all."""
    climb = plan.flight.end.climb
    rows = [(plain(x.name), x.ideal, x.gained, x.losses) for x in climb.parts]
    rows.append(("all", climb.ideal, climb.gained, climb.losses))
    return Table(framed(_LOSSES, rows))


@asks_climb
def falls(plan: Plan) -> Words:
    """Return where what is dropped comes down, and within which ellipse; estimates."""
    east = plan.scenario.launch_site.longitude
    rows = [(found.impact, east, found) for found in footprints(plan)]
    return Table(framed(_FALLS, rows), "Nothing comes down.")


@asks_climb
def off_nominal(plan: Plan) -> Words:
    """Return the usual off-nominal cases."""
    return Table(framed(_WITH_CONTROL, usual_cases(plan)))


@asks_climb
def weather(plan: Plan) -> Words:
    """Return the climb in the weather of the plan and in other weather, steered alike."""
    return Table(framed(_WEATHER, weather_cases(plan)))


@asks_climb
def engines_out(plan: Plan, stage: int = 0, times: Sequence[float] = OUT_TIMES) -> Words:
    """Return off-nominal cases with an engine of a stage lost at times [s] after its ignition.

    Or of a booster beside it.
    """
    cases = engine_out_cases(plan, stage, times)
    if not cases:
        return notebook.sentence("This stage has one engine: without it, it does not fly.")
    return Table(framed(_WITH_CONTROL, cases))


@asks_climb
def upper_stage_only(plan: Plan, stage: int) -> Words:
    """Return the upper-stage-only case: from a stage's ignition on, in its planned state."""
    if stage >= len(plan.flight.end.climb.vehicle.stages):
        return notebook.sentence("The climb has no such stage.")
    return Table(framed(_OFF_NOMINAL, upper_stage_cases(plan, stage)))


def _required(case: OffNominalCase) -> float | None:
    """Return what control requires of what it has at the worst moment with an engine out [%]."""
    worst = case.control.worst if case.control else None
    return 100.0 * worst.share if worst and isfinite(worst.share) else None


def _weather(plan: Plan) -> str:
    how = plan.scenario.climb
    warmer = f", {how.temperature_offset:+.0f} K" if how.temperature_offset else ""
    wind = "no wind" if how.wind is None else f"wind of {how.wind.origin or 'the scenario'}"
    return f"{how.day} day{warmer}, {wind}"


def _bending(climb: LaunchClimb) -> str:
    most = climb.most_load
    values = (_kpa_deg(most.value), most.t, most.altitude / 1e3)
    return told("{:.0 kPa deg} after {:.0 s}, {:.1 km} up", *values)


def _kpa_deg(value: float) -> float:
    return value / 1e3 / c.DEG


def _axis(found: Footprint, index: int) -> float | None:
    """Return an axis of an ellipse [km], from end to end."""
    return found.ellipse and 2.0 * found.ellipse[index] / 1e3


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None


def _fallen(climb: LaunchClimb) -> str:
    if climb.reached:
        return "in orbit"
    fall = climb.fallen
    if fall is None:
        return "stays on the pad" if len(climb.track.t) < 2 else "a lower orbit"
    return f"{fall.range * c.R_EARTH / 1e3:,.0f} km down range"


_STAGING = (
    Column("event", lambda x: f"{plain(x.name)}: {x.what}"),
    Column("after [s]", lambda x: x.t, 1),
    Column("height [km]", lambda x: x.altitude / 1e3, 1),
    Column("inertial speed [m/s]", lambda x: x.speed, 0),
    Column("speed over ground [m/s]", lambda x: x.airspeed, 0),
    Column("path angle [deg]", lambda x: x.flight_path_angle / c.DEG, 2),
    Column("down range [km]", lambda x: x.downrange * c.R_EARTH / 1e3, 0),
    Column("mass [t]", lambda x: x.mass / 1e3, 2),
)

_LOSSES = (
    Column("stage", lambda row: row[0]),
    Column("ideal [m/s]", lambda row: row[1], 1),
    Column("gained [m/s]", lambda row: row[2], 1),
    Column("gravity [m/s]", lambda row: row[3].get("gravity"), 1),
    Column("drag [m/s]", lambda row: row[3].get("drag"), 1),
    Column("steering [m/s]", lambda row: row[3].get("steering"), 1),
    Column("pressure [m/s]", lambda row: row[3].get("pressure"), 1),
    Column("hold-down [m/s]", lambda row: row[3].get("hold-down"), 1),
)

_FALLS = (
    Column("what", lambda row: plain(row[0].name)),
    Column("impact after, estimate [min]", lambda row: row[0].t / c.MINUTE, 1),
    Column("down range [km]", lambda row: row[0].range * c.R_EARTH / 1e3, 0),
    Column("impact point [deg]", lambda row: place(row[0].latitude, row[1] + row[0].east)),
    Column("mass over drag area [kg/m2]", lambda row: _finite(row[2].body.ballistic), 0),
    Column("speed there [m/s]", lambda row: row[2].speed, 0),
    Column("ellipse of 3 sigma, along [km]", lambda row: _axis(row[2], 0), 0),
    Column("across [km]", lambda row: _axis(row[2], 1), 0),
    Column("azimuth [deg]", lambda row: row[2].ellipse and row[2].ellipse.azimuth / c.DEG, 0),
)

_OFF_NOMINAL = (
    Column("case", lambda x: x.name),
    Column("ends", lambda x: _fallen(x.flown)),
    Column("propellant left [t]", lambda x: x.left / 1e3 if x.flown.left else None, 2),
    Column("greatest dynamic pressure [kPa]", lambda x: x.most_dynamic_pressure / 1e3, 1),
    Column("greatest acceleration [g]", lambda x: x.flown.most_acceleration.value / c.G0, 2),
)

_WITH_CONTROL = (
    *_OFF_NOMINAL,
    Column(f"control authority required, at most [%] ({ESTIMATE})", lambda x: _required(x), 0),
    Column(
        f"control lost, since lift-off [s] ({ESTIMATE})", lambda x: x.control and x.control.lost, 0
    ),
)

_WEATHER = (
    Column("weather", lambda x: x.name),
    Column("ends", lambda x: _fallen(x.flown)),
    Column("propellant left [t]", lambda x: x.left / 1e3 if x.flown.left else None, 2),
    Column("greatest dynamic pressure [kPa]", lambda x: x.most_dynamic_pressure / 1e3, 1),
    Column("at [km]", lambda x: x.flown.most_dynamic_pressure.altitude / 1e3, 1),
    Column(
        "greatest pressure times angle of attack [kPa deg]",
        lambda x: _kpa_deg(x.flown.most_load.value),
        0,
    ),
    Column("drag loss [m/s]", lambda x: x.flown.losses.get("drag"), 1),
)


@asks_climb
def escape_table(plan: Plan) -> Table:
    """Return each escape on the tower: how it draws away, and the blast it meets."""
    return Table(escape_distance.table(plan), escape_distance.NO_TOWER)


@asks_climb
def coverage_table(found: Coverage, plan: Plan | None = None) -> Table:
    """Return the abort modes of the climb of a `plan`: when each is open, and why not."""
    return Table(coverage_bars.table(found), NOBODY)


@asks_climb
def control_table(plan: Plan) -> Table:
    """Return every phase with what controls the craft in it."""
    return Table(control_authority.table(plan))


@asks_climb
def control_contributions(plan: Plan, phase: str | int | None = None) -> Table:
    """Return each cause of what is required and each means of what is available [deg/s2].

    Of one phase by its name, of a burn by its number from 0, or of all.
    """
    if isinstance(phase, int):
        phase = plan.burns[phase].name
    return Table(control_authority.contributions(plan, phase))
