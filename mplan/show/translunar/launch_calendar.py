"""A calendar of launch windows: a row a day, clock time across, a bar while a window is open."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta, timezone

from mplan.physics.constants import HOUR, MINUTE
from mplan.plan import Plan
from mplan.show import failed_insertions
from mplan.show.drawn import palette
from mplan.show.drawn.figure import MARGIN, Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.launches import launch_days
from mplan.studies.launches.chance import Chance
from mplan.studies.windows import SIDES, Answer, chances

ROW, EDGES = 26, 112  # px: a day, and what stands above and below all of them
WIDTH = 860  # px, in a panel
LANE = {"ascending": -0.22, "descending": 0.22}  # of a row: each side has its own half
PATTERN = {"ascending": "/", "descending": ""}
EVERY = 4  # h between the grid lines
LEAST = 0.15  # h that a bar is wide, so that a window of one moment is seen
KEY = "C plan does not close, S Sun outside its limits at landing"


def drawing(
    answers: Iterable[Answer], plan: Plan | None = None, theme: Theme | None = None
) -> Drawing:
    """Return the calendar of what a scan found, with the lift-off of `plan` as a mark."""
    answers, look = list(answers), palette.look(theme)
    days = sorted({each.day for each in answers})
    rows = {day: row for row, day in enumerate(days)}
    ends = _ends(chances(answers))
    ticks = list(range(ends[0], ends[1] + 1, EVERY))
    return Drawing(
        traces=[
            *(_bars(answers, side, rows, look) for side in SIDES),
            _words(answers, rows, ends[0], look),
            _planned(plan, rows, look),
        ],
        x=palette.axis(
            look,
            title={"text": f"clock time of the day, before and after it [UTC, h]<br>{KEY}"},
            range=[ends[0], ends[1] + 2.5],
            tickvals=ticks,
            ticktext=[_clock(hour) for hour in ticks],
            fixedrange=True,
        ),
        y=palette.axis(
            look,
            tickvals=list(range(len(days))),
            ticktext=[f"{day:%a %d %b}" for day in days],
            range=[max(1, len(days)) - 0.4, -0.6],
            showgrid=False,
            fixedrange=True,
            title={"text": ""},
        ),
        height=EDGES + ROW * max(1, len(days)),
        summary=summary(answers),
        look=look,
        more={"barmode": "overlay", "margin": {**MARGIN, "b": 60}, "hovermode": "closest"},
    )


def summary(answers: list[Answer]) -> str:
    """Return the calendar in words."""
    days, found = {each.day for each in answers}, chances(answers)
    good = [each for each in found if each.plan_closes and each.sun_fits is not False]
    sun = (
        " with the Sun within its limits"
        if any(each.sun_fits is not None for each in found)
        else ""
    )
    return (
        f"Launch windows of {len(days)} days: {len(found)} chances, {len(good)} of which "
        f"close{sun}."
    )


def letters(chance: Chance) -> str:
    """Return what is to be known of a chance, one letter each; see KEY."""
    marks = {
        "C": not chance.plan_closes,
        "S": chance.sun_fits is False,
    }
    return "".join(letter for letter, true in marks.items() if true)


def hour_of(moment: datetime, day: date) -> float:
    """Return the hours [h] from the beginning of a day (UTC), below zero before it."""
    start = datetime(day.year, day.month, day.day, tzinfo=timezone.utc)
    return (moment - start) / timedelta(hours=1)


def _clock(hour: int) -> str:
    """Return an hour as people read it: `20 before` of the evening before, `4 after`."""
    if hour < 0:
        return f"{hour + 24} before"
    return f"{hour}" if hour <= 24 else f"{hour - 24} after"


def _ends(found: list[Chance]) -> tuple[int, int]:
    """Return the first and last hour of the axis: the day, and as far as bars reach beyond it."""
    opens = [hour_of(each.opens, each.day) for each in found]
    closes = [hour_of(each.closes, each.day) for each in found]
    first = int(min([0.0, *opens]) // EVERY * EVERY)
    return first, int(-(-max([24.0, *closes]) // EVERY) * EVERY)


def _bars(answers: list[Answer], side: str, rows: dict[date, int], look: Look) -> Trace:
    found = [each for each in chances(answers) if each.side == side]
    colour = {"ascending": look.second, "descending": look.main}[side]
    return {
        "type": "bar",
        "orientation": "h",
        "name": f"{side} side",
        "base": [round(hour_of(each.opens, each.day), 3) for each in found],
        "x": [round(max(LEAST, each.duration / HOUR), 3) for each in found],
        "y": [rows[each.day] + LANE[side] for each in found],
        "width": 0.36,
        "marker": {
            "color": colour,
            "pattern": {
                "shape": PATTERN[side],
                "fgcolor": look.paper,
                "fillmode": "overlay",
                "solidity": 0.25,
                "size": 6,
            },
            "line": {"width": 0},
        },
        "customdata": [_told(each) for each in found],
        "hovertemplate": "%{customdata}<extra></extra>",
    }


def _told(chance: Chance) -> str:
    failed = f"<br>{failed_insertions.sentence(chance.failed)}" if chance.failed else ""
    return (
        f"{chance.opens:%d %b %H:%M} to {chance.closes:%d %b %H:%M} UTC, "
        f"{chance.duration / MINUTE:.0f} min<br>{chance.verdict}{failed}"
    )


def _words(answers: list[Answer], rows: dict[date, int], first: int, look: Look) -> Trace:
    """Return the letters after the bars, and what stands where there is no bar."""
    texts: list[str] = []
    x: list[float] = []
    for each in answers:
        if isinstance(each, Chance):
            texts.append(f" {letters(each)} ")
            x.append(round(hour_of(each.closes, each.day), 3))
        else:
            texts.append(f" {each.side}: no launch ")
            x.append(first)
    return {
        "type": "scatter",
        "mode": "text",
        "x": x,
        "y": [rows[each.day] + LANE[each.side] for each in answers],
        "text": texts,
        "textposition": ["middle right"] * len(texts),
        "textfont": {"color": look.ink, "size": palette.TEXT_SIZE - 2},
        "showlegend": False,
        "cliponaxis": False,
        "hoverinfo": "skip",
    }


def _planned(plan: Plan | None, rows: dict[date, int], look: Look) -> Trace:
    x: list[float] = []
    y: list[float] = []
    hover = ""
    at = plan.flight.utc(0.0) if plan is not None and plan.flight.dated else None
    if plan is not None and at is not None and at.date() in rows:
        x.append(round(hour_of(at, at.date()), 3))
        dated = launch_days.of_ship(plan.scenario, launch_days.leader(plan.scenario))
        y.append(rows[at.date()] + LANE[dated.dates.side])
        hover = f"{at:%d %b %H:%M} UTC<extra></extra>"
    return {
        "type": "scatter",
        "mode": "markers",
        "name": "lift-off of the plan",
        "x": x,
        "y": y,
        "marker": {
            "symbol": "diamond",
            "size": 10,
            "color": look.paper,
            "line": {"width": 2, "color": look.ink},
        },
        "hovertemplate": hover,
    }
