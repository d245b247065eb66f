"""Bars of work along the years: what pictures of a programme are made of.

A bar's kind is told by its colour and the legend; the critical path by a hatch, an outline, and
words in the row. Years run as decimals, so that stills and live figures share one axis.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, NamedTuple

from mplan.programme import Calendar, Task
from mplan.show.drawn import rows
from mplan.show.drawn.figure import Trace
from mplan.show.drawn.palette import Look

MONTHS = (1, 4, 7, 10)  # that have a tick
FEW, MANY = 8, 20  # ticks: so many are all named, every half year, then every year
HATCH = "/"


class Bar(NamedTuple):
    """A stretch of work in a row, with what it says under the pointer."""

    row: str
    begins: date
    ends: date
    critical: bool
    said: str


def of_task(row: str, task: Task) -> Bar:
    """Return the bar of a task."""
    room = "dated by the file" if task.stated else f"float {task.float_days:,.0f} d"
    said = "critical path" if task.critical else room
    return Bar(row, task.begins, task.ends, task.critical, f"{task.name}: {said}")


def year(day: date) -> float:
    """Return a day as a decimal year."""
    first, after = date(day.year, 1, 1), date(day.year + 1, 1, 1)
    return round(day.year + (day - first).days / (after - first).days, 4)


def axes(look: Look, names: Sequence[str], calendar: Calendar) -> dict[str, Any]:
    """Return x and y: from today, or from flights under way, to the end of all work."""
    first = min([calendar.programme.today, *(x.begins for x in calendar.tasks if not x.stated)])
    last = max([calendar.finish, *(x.ends for x in calendar.tasks)])
    ticks = [date(y, m, 1) for y in range(first.year, last.year + 2) for m in MONTHS]
    shown = [x for x in ticks if year(first) - 0.1 <= year(x) <= year(last) + 0.1]
    made = rows.axes(look, names, "", year(first) - 0.08, year(last) + 0.3)
    named = {x.month for x in shown} if len(shown) <= FEW else {1, 7} if len(shown) <= MANY else {1}
    texts = [f"{x:%b %Y}" if x.month in named else "" for x in shown]
    made["x"] |= {"tickvals": [year(x) for x in shown], "ticktext": texts}
    return made


def trace(name: str, bars: Sequence[Bar], colour: str, look: Look, width: float = 0.6) -> Trace:
    """Return the bars of one kind of work, those of the critical path hatched and outlined."""
    hatched = [HATCH if x.critical else "" for x in bars]
    return {
        "type": "bar",
        "orientation": "h",
        "name": name,
        "base": [year(x.begins) for x in bars],
        "x": [round(year(x.ends) - year(x.begins), 4) for x in bars],
        "y": [x.row for x in bars],
        "width": width,
        "marker": {
            "color": colour,
            "pattern": {
                "shape": hatched,
                "fgcolor": look.paper,
                "fillmode": "overlay",
                "solidity": 0.3,
                "size": 6,
            },
            "line": {
                "width": [2 if x.critical else 0.5 for x in bars],
                "color": [look.ink if x.critical else look.paper for x in bars],
            },
        },
        "hovertext": [f"{x.said}<br>{x.begins} to {x.ends}" for x in bars],
        "hoverinfo": "text",
    }


def windows(name: str, bars: Sequence[Bar], met: Sequence[bool], look: Look) -> Trace:
    """Return windows as bands taller than bars of work; the ones `met` are outlined in ink.

    A day or two is less than a pixel along some years: an outline keeps each in sight.
    """
    made = trace(name, bars, colours(look)[name], look, 0.95)
    made["marker"]["line"] = {
        "width": 2,
        "color": [look.ink if x else colours(look)[name] for x in met],
    }
    return made


def today(calendar: Calendar, names: Sequence[str], look: Look) -> Trace:
    """Return an upright line at the day from which all is planned."""
    at = year(calendar.programme.today)
    return {
        "type": "scatter",
        "mode": "lines",
        "name": f"today, {calendar.programme.today}",
        "x": [at] * len(names),
        "y": list(names),
        "line": {"color": look.ink, "width": 2, "dash": "dash"},
        "hoverinfo": "skip",
    }


def words(bars: Sequence[Bar], look: Look) -> Trace:
    """Return the word that marks the critical path, behind the last bar of a row that has some."""
    ends: dict[str, date] = {}
    for each in bars:
        ends[each.row] = max(ends.get(each.row, each.ends), each.ends)
    marked = [x for x in ends if any(bar.critical for bar in bars if bar.row == x)]
    made = rows.words(["critical"] * len(marked), [0.0] * len(marked), marked, look)
    return made | {"x": [year(ends[x]) for x in marked]}


def height(names: Sequence[str]) -> int:
    """Return how tall a picture of so many rows is [px]."""
    return 110 + 24 * len(names)


def colours(look: Look) -> dict[str, str]:
    """Return the colour of each group of work, in the order in which they are drawn."""
    blue, orange, green, vermilion, purple, sky = look.colorway
    return {
        "launch window": sky,
        "development, build, shipping": blue,
        "training, rehearsal": green,
        "on the pad, turnaround": orange,
        "flight": vermilion,
        "team off duty": purple,
    }
