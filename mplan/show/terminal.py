"""The one-page brief: rich text on a terminal, plain text in a pipe, never over 100 columns."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from shutil import get_terminal_size
from typing import IO, Any

from rich import box
from rich.console import Console, Group, JustifyMethod, RenderableType
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
from rich.table import Table
from rich.text import Text

from mplan.cautions import CAUTIONS
from mplan.checks.finding import Finding
from mplan.flight.record import BEHIND, BurnRecord
from mplan.physics.constants import DEG
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.wording import plain
from mplan.show import gist, launch_windows
from mplan.show.columns import Column, cell, clock, started, text
from mplan.studies.windows import Answer, NoChance, chances

WIDTH = 100
_RULE_ONLY = box.Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
_STYLES = {
    "stops the flight": "bold red",
    "needs a decision": "yellow",
    "for information": "cyan",
}
_BUDGET: tuple[Column, ...] = (  # what is marked stands with the name, to leave room for heads
    Column("burn", lambda x: f"{x.name}{' (estimate)' if x.estimate else ''}{_unseen(x)}"),
    Column("element", lambda x: plain(x.element)),
    Column("required\nm/s", lambda x: x.required, 0),
    Column("available\nm/s", lambda x: x.available, 0),
    Column("reserved\nm/s", lambda x: x.reserved, 0),
    Column("margin\nm/s", lambda x: "-" if x.burns_out else f"{x.margin:,.0f}"),
    Column("prop.\nt", lambda x: f"{x.propellant / 1e3:.{2 if x.propellant < 1e6 else 1}f}"),
    Column("start", lambda x: started(x).replace(" of ", "/")),
    Column("time\ns", lambda x: x.duration, 0),
    Column("T/W\ng0", lambda x: x.thrust_to_weight, 2),
)
_WINDOWS = (
    Column("day", lambda x: f"{x.day:%m-%d}"),
    Column("side", lambda x: "asc." if x.side == "ascending" else "desc."),
    Column("opens", lambda x: f"{x.opens:%d %H:%M}"),
    Column("ends", lambda x: f"{x.closes:%d %H:%M}"),
    Column("inject.\nm/s", lambda x: x.injection_delta_v, 1),
    Column("Moon\ndec.", lambda x: x.moon_declination / DEG, 1),
    Column(
        "Sun at\nsite", lambda x: None if x.sun_at_landing is None else x.sun_at_landing / DEG, 1
    ),
    Column("Sun\nfits", lambda x: launch_windows.yes(x.sun_fits)),
    Column("splash", lambda x: f"{x.splash:%m-%d %H:%M}{'~' if x.splash_estimate else ''}"),
    Column("in", lambda x: x.splash_light),
    Column("free\nret.", lambda x: launch_windows.yes(x.free_return)),
    Column("plan\ncloses", lambda x: launch_windows.yes(x.plan_closes)),
    Column("margin\nm/s", lambda x: x.tightest_margin, 0),
)
_LEFT = (
    "burn",
    "element",
    "basis",
    "event",
    "UTC",
    "day",
    "side",
    "opens",
    "ends",
    "splash",
    "in",
    "change",
    "margins\nm/s",
)
_KEY = (
    "available: what the tanks hold for this burn and the later ones of its engine; reserved: by\n"
    "the margin policy; -: the stage burns out by plan; start 2/3: the second of three that the\n"
    "engine is qualified for; *: behind the Moon, out of contact; flown, unless marked estimate."
)


def console(file: IO[str]) -> Console:
    """Return a console for `file`, as wide as it may be and no wider than 100 columns."""
    if not file.isatty():
        return Console(file=file, width=WIDTH, no_color=True, highlight=False, markup=False)
    return Console(
        file=file, width=min(WIDTH, get_terminal_size().columns), highlight=False, markup=False
    )


def print_brief(plan: Plan, file: IO[str]) -> None:
    """Write the brief to `file`."""
    out = console(file)
    for part in _parts(plan, out):
        out.print(part)


@contextmanager
def progress(what: str) -> Iterator[Callable[..., None]]:
    """Show how far long work is, on standard error; the yielded function takes done and total.

    A third argument says what is being done. Where no one watches, nothing is shown.
    """
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    shown = Console(stderr=True, markup=False)
    with Progress(*columns, console=shown, transient=True, disable=not shown.is_terminal) as bar:
        task = bar.add_task(what, total=None)

        def step(done: int, total: int, now: str = what) -> None:
            bar.update(task, completed=done, total=total, description=now)

        yield step


def print_windows(scenario: Scenario, answers: list[Answer], file: IO[str]) -> None:
    """Write the launch windows to `file`, and the days without one."""
    out = console(file)
    title = f"Launch windows of {scenario.mission.name} from {answers[0].day}, all times UTC"
    out.print(titled(title, _WINDOWS, chances(answers), out))
    for answer in answers:
        if isinstance(answer, NoChance):
            out.print(Text(f"{answer.day} {answer.side}: {answer.why}"))
    if any(x.splash_estimate for x in chances(answers)):
        out.print(Text("~: estimate, the entry is not flown"))
    out.print(cautions())


def _parts(plan: Plan, out: Console) -> list[RenderableType]:
    mission = plan.scenario.mission
    return [
        Text(plan.verdict, style="bold green" if plan.closes else "bold red"),
        Text(f"{mission.profile}, crew of {mission.crew}; {plan.scenario.source}"),
        *(Text(x) for x in gist.lines(plan)),
        titled("Budget", _BUDGET, plan.burns, out),
        Text(_KEY),
        titled("Timeline", _timeline(plan), plan.timeline, out),
        _findings(plan.findings),
        cautions(),
    ]


def cautions() -> Group:
    """Return what the numbers are not for."""
    return Group(Text("\nCautions", style="bold"), *(Text(x, style="italic") for x in CAUTIONS))


def _timeline(plan: Plan) -> tuple[Column, ...]:
    return (
        Column("event", lambda x: x.event),
        Column("UTC", lambda x: f"{plan.flight.utc(x.elapsed):%Y-%m-%d %H:%M:%S}"),
        Column("since lift-off", lambda x: clock(x.elapsed)),
        Column("mass [t]", lambda x: x.mass / 1e3, 2),
        Column("basis", lambda x: "estimate" if x.estimate else ""),
    )


def _unseen(burn: BurnRecord) -> str:
    return "*" if burn.contact == BEHIND else ""


def titled(title: str, columns: Sequence[Column], rows: Sequence[Any], out: Console) -> Group:
    """Return a table under its title, drawn as wide as `out` allows."""
    lines = box.SIMPLE_HEAD if out.is_terminal else _RULE_ONLY
    table = Table(box=lines, pad_edge=False, show_edge=False, padding=0)
    for column in columns:
        side: JustifyMethod = "left" if column.header in _LEFT else "right"
        table.add_column(column.header, justify=side, vertical="bottom", overflow="fold")
    for row in rows:
        table.add_row(*(text(cell(x, row), x.digits) for x in columns))
    return Group(Text(f"\n{title}", style="bold"), table)


def _findings(found: tuple[Finding, ...]) -> Group:
    lines: list[Text] = [Text("\nFindings", style="bold")]
    if not found:
        lines.append(Text("none: all checks passed"))
    for finding in found:
        lines += _finding(finding)
    return Group(*lines)


def _finding(finding: Finding) -> list[Text]:
    head = Text.assemble(
        (f"{finding.severity}: ", _STYLES[finding.severity]),
        f"{finding.text} (limit {finding.limit}, found {finding.found}; basis {finding.basis})",
    )
    return [
        head,
        *(Text(f"  flown: {x.change}: {x.outcome}") for x in finding.remedies),
    ]
