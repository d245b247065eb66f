"""Pictures of workbook 08: missions along the years, who is taken up when, money by year."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from mplan.programme import Calendar, Task
from mplan.scenario.wording import plain
from mplan.show.drawn import palette, rows
from mplan.show.drawn.figure import Drawing, Picture, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.show.programme import bars, readings
from mplan.show.programme.bars import Bar

WIDTH = 900  # px, in panels
GROUPS = {
    "develop": "development, build, shipping",
    "qualify": "development, build, shipping",
    "deliver": "development, build, shipping",
    "build": "development, build, shipping",
    "ship": "development, build, shipping",
    "train": "training, rehearsal",
    "rehearse": "training, rehearsal",
    "stack": "on the pad, turnaround",
    "turnaround": "on the pad, turnaround",
    "ahead": "flight",
    "flight": "flight",
    "test flight": "flight",
    "recovery": "team off duty",
}
WINDOW = "launch window"
HARDWARE, PEOPLE, PAD = "hardware", "people", "pad and flight"
PARTS = {
    "development, build, shipping": HARDWARE,
    "training, rehearsal": PEOPLE,
    "on the pad, turnaround": PAD,
    "flight": PAD,
}
SHARED = "Shared: development, engines"


def missions(calendar: Calendar, theme: Theme | None = None) -> Picture:
    """Return every mission's hardware, people, pad and flight along the years."""
    return Picture(missions_drawing(calendar, theme), calendar.programme.name, "missions")


def resources(calendar: Calendar, theme: Theme | None = None) -> Picture:
    """Return who takes up pads, crews and control teams, and when."""
    return Picture(resources_drawing(calendar, theme), calendar.programme.name, "resources")


def spending(calendar: Calendar, theme: Theme | None = None) -> Picture:
    """Return the cost of each year, recurring and nonrecurring, beside its budget."""
    return Picture(spending_drawing(calendar, theme), calendar.programme.name, "spending")


def missions_drawing(calendar: Calendar, theme: Theme | None = None) -> Drawing:
    """Draw the missions."""
    look = palette.look(theme)
    placed = list(_by_mission(calendar))
    order = [SHARED] if any(x.row == SHARED for _, x in placed) else []
    for flight in readings.flights(calendar):
        order += [_row(calendar, flight, part) for part in (HARDWARE, PEOPLE, PAD)]
    there = {x.row for _, x in placed}
    names = [x for x in order if x in there]
    return _drawn(calendar, placed, names, look, f"Missions. {readings.headline(calendar)}")


def resources_drawing(calendar: Calendar, theme: Theme | None = None) -> Drawing:
    """Draw what is taken up."""
    look, programme = palette.look(theme), calendar.programme
    placed = list(_by_resource(calendar))
    names = [
        *(f"pad {plain(x)}" for x in programme.pads),
        *(f"crew {plain(x)}" for x in programme.crews),
        *(f"team {plain(x)}" for x in programme.control_teams),
    ]
    return _drawn(calendar, placed, names, look, "When pads, crews and control teams are taken up")


def _drawn(
    calendar: Calendar, placed: list[tuple[str, Bar]], names: list[str], look: Look, summary: str
) -> Drawing:
    every = [bar for _, bar in placed]
    bands = [bar for its, bar in placed if its == WINDOW]
    met = [x.met for x in calendar.windows]
    traces: list[Trace] = [bars.windows(WINDOW, bands, met, look)] if bands else []
    traces += [
        bars.trace(group, [bar for its, bar in placed if its == group], colour, look)
        for group, colour in bars.colours(look).items()
        if group != WINDOW and any(its == group for its, _ in placed)
    ]
    traces += [bars.today(calendar, names, look), bars.words(every, look)]
    more = {"barmode": "overlay", "hovermode": "closest"}
    axes = bars.axes(look, names, calendar)
    return Drawing(traces, axes["x"], axes["y"], bars.height(names), summary, look, more)


def _row(calendar: Calendar, task: Task, part: str) -> str:
    assert task.mission is not None
    return f"{calendar.programme.title(task.mission)}: {part}"


def _by_mission(calendar: Calendar) -> Iterator[tuple[str, Bar]]:
    """Yield the bars with their group; tasks of no mission share a row."""
    for window in calendar.windows:
        row = f"{calendar.programme.title(window.mission)}: {PAD}"
        said = "launch window, lifts off in it" if window.met else "launch window, not used"
        after = window.closes.date() + timedelta(days=1)  # the closing day counts
        yield WINDOW, Bar(row, window.opens.date(), after, False, said)
    for task in sorted(calendar.tasks, key=lambda x: x.critical):
        group = GROUPS[task.kind]
        if task.mission is None:
            yield group, bars.of_task(SHARED, task)
        elif group in PARTS:
            yield group, bars.of_task(_row(calendar, task, PARTS[group]), task)


def _by_resource(calendar: Calendar) -> Iterator[tuple[str, Bar]]:
    for task in calendar.tasks:
        group = GROUPS[task.kind]
        if task.mission is None:
            continue
        table = calendar.programme.launches[task.mission]
        crew = readings.crew_of(calendar, task.mission)
        if task.kind in ("stack", "turnaround"):
            yield group, bars.of_task(f"pad {plain(task.resource or table.pad)}", task)
        if crew and (task.kind == "train" or task.kind in readings.FLIGHTS):
            yield group, bars.of_task(f"crew {plain(crew)}", task)
        if task.kind in (*readings.FLIGHTS, "ahead", "rehearse", "recovery"):
            team = task.resource or table.control_team
            yield group, bars.of_task(f"team {plain(team)}", task)


def spending_drawing(calendar: Calendar, theme: Theme | None = None) -> Drawing:
    """Draw the money."""
    look, years = palette.look(theme), readings.years(calendar)
    names = [str(x.year) for x in years]
    unit = f"M {calendar.programme.currency}"
    budgets = [x for x in years if x.budget is not None]
    ends = [max(x.total, x.budget or 0.0) / readings.MILLION for x in years]
    traces = [
        rows.part(
            "recurring",
            [x.recurring / readings.MILLION for x in years],
            names,
            look.main,
            "",
            look,
            f"recurring %{{x:,.1f}} {unit}",
        ),
        rows.part(
            "nonrecurring",
            [x.nonrecurring / readings.MILLION for x in years],
            names,
            look.second,
            "/",
            look,
            f"nonrecurring %{{x:,.1f}} {unit}",
        ),
        rows.mark(
            "budget",
            [(x.budget or 0.0) / readings.MILLION for x in budgets],
            [str(x.year) for x in budgets],
            look,
            f"budget %{{x:,.1f}} {unit}",
        ),
        rows.words(
            [
                f"{x.total / readings.MILLION:,.0f} spent{', over budget' if x.over else ''}"
                for x in years
            ],
            ends,
            names,
            look,
        ),
    ]
    axes = rows.axes(look, names, f"cost [{unit}]", 0.0, 1.25 * max([*ends, 1.0]))
    axes["y"]["type"] = "category"
    summary = "Cost by year: " + ", ".join(
        f"{x.year} {x.total / readings.MILLION:,.0f} {unit}" for x in years
    )
    height = 120 + 40 * len(years)
    return Drawing(traces, axes["x"], axes["y"], height, summary, look, rows.more("stack"))
