"""Who steers when, and how near each craft comes to what its control unit can handle."""

from __future__ import annotations

import numpy as np
import pandas as pd

from mplan.checks.phases import Phase, handovers, phases
from mplan.physics.constants import DEG
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show.columns import Column, clock
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.moon.strokes import upwards
from mplan.show.tables import framed

ROW, EDGES = 24, 96  # px: a phase, and what stands above and below all of them
WIDTH = 800  # px, in a panel
ROOM = 2.15  # the axis is this many times as long as a full bar, so that its words stand beside it
CLIMB_HEIGHT = 330  # px
TICKS = [0, 25, 50, 75, 100]  # %
HEADROOM = 1.1  # over the highest tick, for a name


def picture(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return each phase's mass [% of what the unit steering it can handle], hold-down on top."""
    return Picture(drawing(plan, theme))


def climb(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return mass and what the unit in control can handle [t] over the climb [s]."""
    return Picture(climb_drawing(plan, theme))


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the bars, in flight order."""
    look, found = palette.look(theme), phases(plan.flight)
    names = [_label(i, phase) for i, phase in enumerate(found)]
    longest = ROOM * max(100.0, *(_share(phase) for phase in found))
    title = "mass, as a share of what the control unit steers [%]"
    axes = rows.axes(look, names, title, 0.0, longest)
    return Drawing(
        traces=[*_bars(found, names, look), _limit(names, look), _words(found, names, look)],
        x={**axes["x"], "tickvals": TICKS, "ticktext": [f"{tick}" for tick in TICKS]},
        y=axes["y"],
        height=EDGES + ROW * len(found),
        summary=summary(plan),
        look=look,
        more=rows.more("stack"),
    )


def climb_drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return mass and capacity over the climb; from its burns where it has not been flown."""
    look = palette.look(theme)
    found = [phase for phase in phases(plan.flight) if phase.name in _climbing(plan)]
    times, masses = _mass(plan, found)
    ticks = upwards(max([*masses, *((phase.capacity or 0.0) / 1e3 for phase in found)]))
    last = found[-1].end
    return Drawing(
        traces=[
            _line("mass of the craft", times, masses, look.main, "solid"),
            _line("what the unit in control steers", *_capacity(found), look.bad, "dash"),
            _names(found, look),
        ],
        x=palette.axis(
            look,
            title={"text": "since lift-off [s]", "standoff": 6},
            range=[-0.02 * last, 1.04 * last],
            fixedrange=True,
        ),
        y=palette.axis(
            look,
            title={"text": "mass [t]"},
            range=[0.0, HEADROOM * ticks[-1]],
            tickvals=ticks,
            ticktext=[f"{x:,g}" for x in ticks],
            fixedrange=True,
        ),
        height=CLIMB_HEIGHT,
        summary=summary(plan),
        look=look,
        more={"hovermode": "closest"},
    )


def summary(plan: Plan) -> str:
    """Return who steers in words."""
    found = phases(plan.flight)
    passed = ", ".join(f"{_unit(to)} from {clock(t)}" for t, _, to in handovers(found))
    heavy = [phase.name for phase in found if phase.steered_from != phase.begin]
    text = f"In control: {_unit(found[0].controller)}, {passed}."
    return f"{text} Too heavy or without a unit: {', '.join(heavy)}." if heavy else text


def table(plan: Plan) -> pd.DataFrame:
    """Return the phases: craft, masses, who steers, margin, and how briskly it answers."""
    found = phases(plan.flight)
    late = [_LATE] if any(map(_late, found)) else []  # mostly there is nothing to say of it
    return framed([*_COLUMNS, *late, *_ANSWERS], found)


def _climbing(plan: Plan) -> set[str]:
    return {burn.name for burn in plan.burns if burn.leg == "climb"}


def _mass(plan: Plan, found: list[Phase]) -> tuple[list[float], list[float]]:
    flown = plan.flight.end.climb
    if flown is not None:
        return np.round(flown.track.t, 1).tolist(), np.round(flown.track.mass / 1e3, 1).tolist()
    times = [t for phase in found for t in (phase.begin, phase.end)]
    return times, [kg / 1e3 for phase in found for kg in (phase.mass, phase.mass_at_end)]


def _capacity(found: list[Phase]) -> tuple[list[float | None], list[float | None]]:
    """Return the capacity as steps, broken between stages."""
    times, tonnes = [], []
    for phase in found:
        limit = None if phase.capacity is None else phase.capacity / 1e3
        times += [phase.begin, phase.end, None]
        tonnes += [limit, limit, None]
    return times, tonnes


def _line(name: str, x: list[float | None], y: list[float | None], colour: str, dash: str) -> Trace:
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": x,
        "y": y,
        "line": {"color": colour, "dash": dash, "width": 2},
        "hovertemplate": "%{x:,.1f} s: %{y:,.1f} t<extra></extra>",
    }


def _names(found: list[Phase], look: Look) -> Trace:
    """Return the name of who steers, over the line of what its unit can handle."""
    return {
        "type": "scatter",
        "mode": "text",
        "showlegend": False,
        "x": [(phase.begin + phase.end) / 2.0 for phase in found],
        "y": [(phase.capacity or 0.0) / 1e3 for phase in found],
        "text": [_unit(phase.controller) for phase in found],
        "textposition": "top center",
        "textfont": {"color": look.ink},
        "hoverinfo": "skip",
        "cliponaxis": False,
    }


def _bars(found: tuple[Phase, ...], names: list[str], look: Look) -> list[Trace]:
    fine = [_share(x) if x.steered_from == x.begin else 0.0 for x in found]
    late = [0.0 if x.steered_from == x.begin else _share(x) for x in found]
    hover = "%{x:.0f} %"
    return [
        rows.part("within its capacity", fine, names, look.good, "", look, hover),
        rows.part("TOO HEAVY, or no control unit", late, names, look.bad, "\\", look, hover),
    ]


def _limit(names: list[str], look: Look) -> Trace:
    return rows.mark("capacity", [100.0] * len(names), names, look, "")


def _words(found: tuple[Phase, ...], names: list[str], look: Look) -> Trace:
    ends = [max(100.0, _share(phase)) for phase in found]
    return rows.words([_said(phase) for phase in found], ends, names, look)


def _label(index: int, phase: Phase) -> str:
    """Return a phase's name with its place, so that two of one name keep their own rows."""
    return f"{index + 1}. {phase.name}"


def _share(phase: Phase) -> float:
    return 0.0 if phase.capacity is None else round(100.0 * phase.mass / phase.capacity, 1)


def _said(phase: Phase) -> str:
    if phase.controller is None:
        return "NO CONTROL UNIT"
    text = f"{_unit(phase.controller)}: {phase.mass / 1e3:,.1f} of {phase.capacity / 1e3:,.0f} t"
    if phase.steered_from == phase.begin:
        return text
    if phase.steered_from is None:
        return f"{text}, TOO HEAVY"
    return f"{text}, TOO HEAVY until {phase.steered_from:,.0f} s"


def _unit(name: str | None) -> str:
    return "nobody" if name is None else plain(name)


def _craft(names: tuple[str, ...]) -> str:
    """Return one or two elements by name, of more the lowest and the topmost."""
    apart = names if len(names) < 3 else (names[0], names[-1])
    return (", " if len(names) < 3 else " to ").join(map(plain, apart))


def _late(phase: Phase) -> float | None:
    """Return from when on a phase is steered, None where it is from its beginning."""
    return None if phase.steered_from == phase.begin else phase.steered_from


def _degrees(value: float | None) -> float | None:
    return None if value is None else value / DEG


_COLUMNS = (
    Column("phase", lambda phase: phase.name),
    Column("since lift-off", lambda phase: clock(phase.begin)),
    Column("craft", lambda phase: _craft(phase.craft)),
    Column("mass [t]", lambda phase: phase.mass / 1e3, 1),
    Column("at its end [t]", lambda phase: phase.mass_at_end / 1e3, 1),
    Column("in control", lambda phase: _unit(phase.controller)),
    Column("steers up to [t]", lambda p: None if p.capacity is None else p.capacity / 1e3, 1),
    Column("margin [t]", lambda p: None if p.margin is None else p.margin / 1e3, 1),
)
_LATE = Column("steered only from [s]", _late, 1)
_ANSWERS = (
    Column("pitch, yaw [deg/s2]", lambda phase: _degrees(phase.pitch), 3),
    Column("roll [deg/s2]", lambda phase: _degrees(phase.roll), 3),
    Column("push [m/s2]", lambda phase: phase.first.push, 4),
    Column("turned by", lambda phase: phase.first.source),
)
