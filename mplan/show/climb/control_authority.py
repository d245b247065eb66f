"""Control authority by phase: which element controls, what is required and what is available."""

from __future__ import annotations

from math import inf

import pandas as pd

from mplan.checks.phases import Phase, along_climb, handovers, phases
from mplan.physics.constants import DEG
from mplan.plan import Plan
from mplan.scenario.figures import apart
from mplan.scenario.wording import plain
from mplan.show.columns import Column, clock
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.tables import ESTIMATE, framed
from mplan.vehicle.control.authority import Authority
from mplan.vehicle.control.contribution import AXES, WORDS, Axis

ROW, EDGES = 24, 96  # px: a phase, and what stands above and below all of them
ROOM = 2.6  # the axis is this many times as long as a full bar, so that its words stand beside it
LONGEST = 150.0  # %, of a bar: beyond it the words alone tell
CLIMB_HEIGHT = 330  # px
TICKS = [0, 25, 50, 75, 100]  # %
ALONG = 13  # points of each burn of the climb
NONE = "NO ACTIVE GUIDANCE ELEMENT"


def picture(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return for each phase what is required [% of what is available], hold-down on top."""
    return Picture(drawing(plan, theme), plan.scenario.source.stem, "control authority")


def climb(plan: Plan, *, theme: Theme | None = None) -> Picture:
    """Return required and available in pitch and yaw [deg/s2] over the climb [s]."""
    return Picture(climb_drawing(plan, theme), plan.scenario.source.stem, "control in the climb")


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the bars, in flight order: of each phase the axis that is nearest its limit."""
    look, found = palette.look(theme), phases(plan.flight)
    names = [f"{i + 1}. {phase.name}" for i, phase in enumerate(found)]
    title = f"required control authority, as a share of what is available [%] ({ESTIMATE})"
    axes = rows.axes(look, names, title, 0.0, ROOM * 100.0)
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
    """Return what is required and available in pitch and yaw along the climb, all engines lit."""
    look = palette.look(theme)
    lines = _along(plan)
    last = max((t for line in lines for t, _, _ in line), default=1.0)
    return Drawing(
        traces=[
            _line("required", lines, 1, look.bad, "solid"),
            _line("available", lines, 2, look.main, "dash"),
        ],
        x=palette.axis(
            look,
            title={"text": "since lift-off [s]", "standoff": 6},
            range=[-0.02 * last, 1.04 * last],
            fixedrange=True,
        ),
        y=palette.axis(
            look,
            title={"text": f"pitch and yaw [deg/s2] ({ESTIMATE})"},
            rangemode="tozero",
            fixedrange=True,
        ),
        height=CLIMB_HEIGHT,
        summary=summary(plan),
        look=look,
        more={"hovermode": "closest"},
    )


def summary(plan: Plan) -> str:
    """Return which element controls when, and where authority is lacking or not worked out."""
    found = phases(plan.flight)
    passed = "; ".join(
        f"guidance handover to {_name(to)} {clock(t)}" for t, _, to in handovers(found)
    )
    text = f"In control at lift-off: {_name(found[0].controller)}; {passed}."
    short = [phase.name for phase in found if _lacks(phase)]
    open_ = [phase.name for phase in found if not phase.worked_out]
    if short:
        text += f" Control authority below the requirement: {', '.join(short)}."
    if open_:
        text += f" Not worked out, a gimbal is not stated: {', '.join(open_)}."
    return f"{text} All of it is an estimate, as moments of inertia are."


def table(plan: Plan) -> pd.DataFrame:
    """Return the phases: craft, which element controls, authority at the moment that decides."""
    return framed(_COLUMNS, phases(plan.flight))


def contributions(plan: Plan, name: str | None = None) -> pd.DataFrame:
    """Return what each requirement and each means gives [deg/s2], at every moment of a phase.

    Of the phases of a `name`, or of all; required is before the margin factor.
    """
    found = [
        (phase, at, kind, each)
        for phase in phases(plan.flight)
        if name in (None, phase.name)
        for at in phase.moments
        for kind, listed in (("required", at.demands), ("available", at.supplies))
        for each in listed
    ]
    return framed(_CONTRIBUTIONS, found)


def _along(plan: Plan) -> list[list[tuple[float, float, float | None]]]:
    """Return time, required and available [deg/s2] along each burn of the climb."""
    return [[_point(at) for at in burn] for burn in along_climb(plan.flight, ALONG)]


def _point(at: Authority) -> tuple[float, float, float | None]:
    return at.t, at.required("pitch") / DEG, _degrees(at.available("pitch"))


def _line(name: str, lines: list[list[tuple]], column: int, colour: str, dash: str) -> Trace:
    """Return one curve, broken between stages."""
    points = [point for line in lines for point in (*line, (None, None, None))]
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": [None if t is None else round(t, 1) for t, _, _ in points],
        "y": [None if p[column] is None else round(p[column], 4) for p in points],
        "line": {"color": colour, "dash": dash, "width": 2},
        "hovertemplate": "%{x:,.1f} s: %{y:,.2f} deg/s2<extra></extra>",
    }


def _bars(found: tuple[Phase, ...], names: list[str], look: Look) -> list[Trace]:
    fine = [0.0 if _lacks(x) else 100.0 * _worst(x)[1] for x in found]
    short = [min(LONGEST, 100.0 * _worst(x)[1]) if _lacks(x) else 0.0 for x in found]
    hover = "%{x:.1f} %"
    return [
        rows.part("within what is available", fine, names, look.good, "", look, hover),
        rows.part("BELOW THE REQUIREMENT", short, names, look.bad, "\\", look, hover),
    ]


def _limit(names: list[str], look: Look) -> Trace:
    return rows.mark("available", [100.0] * len(names), names, look, "")


def _words(found: tuple[Phase, ...], names: list[str], look: Look) -> Trace:
    ends = [max(100.0, min(LONGEST, 100.0 * _worst(phase)[1])) for phase in found]
    return rows.words([_said(phase) for phase in found], ends, names, look)


def _worst(phase: Phase) -> tuple[Axis, float]:
    """Return the axis nearest its limit, and what is required of what is available."""
    shares: list[tuple[Axis, float]] = []
    for axis in AXES:
        at = phase.tightest(axis)
        share = None if at is None else at.share(axis)
        if share is not None:
            shares.append((axis, share))
    return max(shares, key=lambda each: each[1], default=("pitch", 0.0))


def _lacks(phase: Phase) -> bool:
    held = phase.kind == "hold-down"
    return not held and (phase.controller is None or _worst(phase)[1] > 1.0)


def _said(phase: Phase) -> str:
    if phase.kind == "hold-down":
        return f"{_name(phase.controller)}: held down, none required"
    if phase.controller is None:
        return NONE
    axis, share = _worst(phase)
    at = phase.tightest(axis)
    if at is None:
        return f"{_name(phase.controller)}: NOT WORKED OUT, a gimbal is not stated"
    text = f"{_name(phase.controller)}, {WORDS[axis]}: {_figures(at, axis)} deg/s2"
    if share > 1.0:
        return f"{text}, BELOW THE REQUIREMENT"
    return text if phase.worked_out else f"{text}; NOT WORKED OUT in pitch and yaw"


def _figures(at: Authority, axis: Axis) -> str:
    required, available = at.both(axis)
    return " of ".join(apart(required / DEG, available / DEG, 3))


def _name(name: str | None) -> str:
    return "no element" if name is None else plain(name)


def _craft(names: tuple[str, ...]) -> str:
    """Return one or two elements by name, of more the lowest and the topmost."""
    apart = names if len(names) < 3 else (names[0], names[-1])
    return (", " if len(names) < 3 else " to ").join(map(plain, apart))


def _degrees(value: float | None) -> float | None:
    return None if value is None or value == inf else value / DEG


def _required(phase: Phase, axis: Axis) -> float | None:
    at = phase.tightest(axis)
    return None if at is None else at.required(axis) / DEG


def _available(phase: Phase, axis: Axis) -> float | None:
    at = phase.tightest(axis)
    return None if at is None else _degrees(at.available(axis))


def _decides(phase: Phase) -> str:
    """Return the moment at which the axis nearest its limit is nearest."""
    at = phase.tightest(_worst(phase)[0])
    return "" if at is None else at.when


def _means(phase: Phase) -> str:
    at = phase.tightest(_worst(phase)[0]) or phase.moments[0]
    return ", ".join(each.cause for each in at.supplies)


def _verdict(phase: Phase) -> str:
    if phase.kind == "hold-down":
        return "held down"
    if _lacks(phase):
        return NONE.lower() if phase.controller is None else "below the requirement"
    return "as required" if phase.worked_out else "not worked out"


_COLUMNS = (
    Column("phase", lambda phase: phase.name),
    Column("since lift-off", lambda phase: clock(phase.begin)),
    Column("craft", lambda phase: _craft(phase.craft)),
    Column("mass [t]", lambda phase: phase.mass / 1e3, 1),
    Column("at its end [t]", lambda phase: phase.mass_at_end / 1e3, 1),
    Column("in control", lambda phase: _name(phase.controller)),
    Column("pitch, yaw required [deg/s2]", lambda phase: _required(phase, "pitch"), 3),
    Column("pitch, yaw available [deg/s2]", lambda phase: _available(phase, "pitch"), 3),
    Column("roll required [deg/s2]", lambda phase: _required(phase, "roll"), 3),
    Column("roll available [deg/s2]", lambda phase: _available(phase, "roll"), 3),
    Column("decides at", _decides),
    Column("controlled by", _means),
    Column("authority", _verdict),
    Column("basis", lambda phase: ESTIMATE),
)
_CONTRIBUTIONS = (
    Column("phase", lambda row: row[0].name),
    Column("at", lambda row: row[1].when),
    Column("kind", lambda row: row[2]),
    Column("cause or means", lambda row: row[3].cause),
    Column("pitch, yaw [deg/s2]", lambda row: row[3].pitch / DEG, 4),
    Column("roll [deg/s2]", lambda row: row[3].roll / DEG, 4),
    Column("basis", lambda row: ESTIMATE),
)
