"""Escapes on the tower: distance from the stack over time, with the blast behind."""

from __future__ import annotations

import pandas as pd

from mplan.contingencies.tower_escape import TowerEscape, along_climb
from mplan.physics.constants import G0
from mplan.plan import Plan
from mplan.show.columns import Column
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.tables import framed
from mplan.studies.blast import on_the_pad

SHOWN = 8.0  # s after ignition
HEIGHT = 380  # px
WIDTH = 800  # px, in a panel
NO_TOWER = "No escape tower is described."
DASHES = ("solid", "dash", "dashdot")


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return a line an escape, the fireball's size, and the shock of the stack on the pad."""
    look, found = palette.look(theme), along_climb(plan.flight)
    colours = (look.main, look.second, look.good)
    lines = [
        _escape(name, each, colour, dash)
        for (name, each), colour, dash in zip(found.items(), colours, DASHES, strict=False)
    ]
    farthest = max([300.0, *(y for trace in lines for y in trace["y"])])
    return Drawing(
        traces=[*lines, *_danger(plan, found, farthest, look)],
        x=palette.axis(
            look,
            title={"text": "since the tower's ignition [s]", "standoff": 6},
            range=[0.0, SHOWN],
            dtick=1,
            fixedrange=True,
        ),
        y=palette.axis(
            look,
            title={"text": "from the middle of the propellants [m]"},
            tickformat=",d",
            fixedrange=True,
        ),
        height=HEIGHT,
        summary=summary(plan),
        look=look,
        more={"hovermode": "closest"},
    )


def summary(plan: Plan) -> str:
    """Return the escapes in words."""
    found = along_climb(plan.flight)
    if not found:
        return NO_TOWER
    return "Escapes: " + "; ".join(f"{name}, {_told(each)}" for name, each in found.items()) + "."


def table(plan: Plan) -> pd.DataFrame:
    """Return each escape: how it draws away, how high and far aside, and the blast it meets."""
    return framed(_COLUMNS, along_climb(plan.flight).items())


def _told(each: TowerEscape) -> str:
    shock = each.overtaken
    met = "not overtaken" if shock is None else f"overtaken with {shock.overpressure / 1e3:.0f} kPa"
    return f"drawing away at {each.pull / G0:.1f} g, {met} (estimate)"


def _escape(name: str, each: TowerEscape, colour: str, dash: str) -> Trace:
    rows = [row for row in each.rows if row.t <= SHOWN]
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": [round(row.t, 2) for row in rows],
        "y": [round(row.away + each.clear, 1) for row in rows],
        "line": {"color": colour, "dash": dash, "width": 2},
        "hovertemplate": "%{x:.1f} s: %{y:,.0f} m<extra></extra>",
    }


def _danger(plan: Plan, found: dict[str, TowerEscape], farthest: float, look: Look) -> list[Trace]:
    """Return the shock and the fireball of the stack on the pad."""
    if not found:
        return []
    reach = [farthest * k / 60.0 for k in range(1, 61)]
    radius, arrivals = on_the_pad(plan.scenario, found["from the pad"], reach)
    shock = [(t, at) for t, at in zip(arrivals, reach, strict=True) if t <= SHOWN]
    return [
        _line("shock on the pad (estimate)", shock, look.bad, "dot"),
        _line(
            "fireball on the pad (estimate)", [(0.0, radius), (SHOWN, radius)], look.quiet, "dash"
        ),
    ]


def _line(name: str, points: list[tuple[float, float]], colour: str, dash: str) -> Trace:
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": [round(t, 2) for t, _ in points],
        "y": [round(at, 1) for _, at in points],
        "line": {"color": colour, "dash": dash, "width": 2},
        "hovertemplate": name + ", %{x:.1f} s: %{y:,.0f} m<extra></extra>",
    }


_COLUMNS = (
    Column("escape", lambda row: row[0]),
    Column("altitude [km]", lambda row: row[1].start.altitude / 1e3, 1),
    Column("airspeed [m/s]", lambda row: row[1].start.speed, 0),
    Column("thrust/weight [g0]", lambda row: row[1].tower.thrust_to_weight, 1),
    Column("draws away at [g0]", lambda row: row[1].pull / G0, 1),
    Column("after 3 s [m]", lambda row: _after(row[1], 3.0), 0),
    Column("aside after 3 s [m]", lambda row: _aside(row[1], 3.0), 0),
    Column("TNT equivalent, estimate [t]", lambda row: row[1].tnt / 1e3, 0),
    Column("overtaken at, estimate [s]", lambda row: row[1].overtaken and row[1].overtaken.t, 1),
    Column(
        "overpressure, estimate [kPa]",
        lambda row: row[1].overtaken and row[1].overtaken.overpressure / 1e3,
        1,
    ),
)


def _after(each: TowerEscape, t: float) -> float:
    return min(each.rows, key=lambda row: abs(row.t - t)).away


def _aside(each: TowerEscape, t: float) -> float:
    return min(each.rows, key=lambda row: abs(row.t - t)).aside
