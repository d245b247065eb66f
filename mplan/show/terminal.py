"""The one-page brief: rich text on a terminal, plain text in a pipe, never over 100 columns."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from shutil import get_terminal_size
from typing import IO

import pandas as pd
from rich import box
from rich.console import Console, Group, RenderableType
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn
from rich.table import Table
from rich.text import Text

from mplan.checks.finding import Finding
from mplan.flight.record import BEHIND
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.show import calendar, gist, tables
from mplan.show.cautions import CAUTIONS
from mplan.studies.windows import Answer

WIDTH = 100
_RULE_ONLY = box.Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
_STYLES = {
    "stops the flight": "bold red",
    "needs a decision": "yellow",
    "for information": "cyan",
}
_BUDGET_HEADERS = {  # short, so that a burn stays on one line
    "needed [m/s]": "needed\nm/s",
    "available [m/s]": "there\nm/s",
    "held back [m/s]": "held\nm/s",
    "margin [m/s]": "margin\nm/s",
    "propellant [kg]": "prop.\nt",
    "ignition no.": "ign.\nno.",
    "burn time [s]": "time\ns",
    "thrust/weight [g0]": "T/W\ng0",
}
_NUMBERS = {*_BUDGET_HEADERS.values(), "since lift-off", "mass [t]"}
_NUMBERS |= {"inject.\nm/s", "Moon\ndec.", "Sun at\nsite", "margin\nm/s"}
_NOT_IN_BRIEF = ("open for [min]", "coast [h]", "perilune [UTC]")
_WINDOW_HEADERS = {
    "opens [UTC]": "opens",
    "closes [UTC]": "closes",
    "injection [m/s]": "inject.\nm/s",
    "Moon's declination [deg]": "Moon\ndec.",
    "Sun at landing [deg]": "Sun at\nsite",
    "Sun fits": "Sun\nfits",
    "splash [UTC]": "splash",
    "splash in": "in",
    "free return": "free\nret.",
    "closes": "plan\ncloses",
    "tightest margin [m/s]": "margin\nm/s",
}
_KEY = (
    "there: what the tanks hold for this burn and the later ones of its engine; held: the margins\n"
    "kept back in them; -: the stage burns out by plan; *: behind the Moon, out of contact."
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
    frame = calendar.frame(answers)
    title = f"Launch windows of {scenario.mission.name} from {answers[0].day}, all times UTC"
    table = tables.written(frame).drop(columns=list(_NOT_IN_BRIEF)).rename(columns=_WINDOW_HEADERS)
    table["day"] = table["day"].str[5:]
    table["side"] = table["side"].replace({"ascending": "asc.", "descending": "desc."})
    out.print(_table(title, table, out))
    for _, row in calendar.without(answers).iterrows():
        out.print(Text(f"{row['day']} {row['side']}: {row['why there is none']}"))
    out.print(Text(f"\n{CAUTIONS[0]}", style="italic"))


def _parts(plan: Plan, out: Console) -> list[RenderableType]:
    mission = plan.scenario.mission
    return [
        Text(plan.verdict, style="bold green" if plan.closes else "bold red"),
        Text(f"{mission.profile}, crew of {mission.crew}; {plan.scenario.source}"),
        *(Text(x) for x in gist.lines(plan)),
        _table("Budget", _brief_budget(plan), out),
        Text(_KEY),
        _table("Timeline", _brief_timeline(plan), out),
        _findings(plan.findings),
        Text(f"\n{CAUTIONS[0]}", style="italic"),
    ]


def _brief_budget(plan: Plan) -> pd.DataFrame:
    whole = [x for x in _BUDGET_HEADERS if "[m/s]" in x or "[s]" in x]
    written = tables.written(tables.budget(plan, dict.fromkeys(whole, 0)))
    written["basis"] += ["*" if burn.contact == BEHIND else "" for burn in plan.burns]
    written = written.drop(columns="seen from Earth")
    written["margin [m/s]"] = written["margin [m/s]"].replace("", "-")
    written["propellant [kg]"] = [f"{burn.propellant / 1e3:.2f}" for burn in plan.burns]
    return written.rename(columns=_BUDGET_HEADERS)


def _brief_timeline(plan: Plan) -> pd.DataFrame:
    return tables.written(tables.timeline(plan)).drop(columns="attached")


def _table(title: str, frame: pd.DataFrame, out: Console) -> Group:
    lines = box.SIMPLE_HEAD if out.is_terminal else _RULE_ONLY
    table = Table(box=lines, pad_edge=False, show_edge=False, padding=0)
    for header in frame.columns:
        side = "right" if header in _NUMBERS else "left"
        table.add_column(header, justify=side, vertical="bottom", overflow="fold")
    for row in frame.itertuples(index=False):
        table.add_row(*row)
    return Group(Text(f"\n{title}", style="bold"), table)


def _findings(found: tuple[Finding, ...]) -> Group:
    lines: list[Text] = [Text("\nFindings", style="bold")]
    if not found:
        lines.append(Text("none: every check made holds"))
    for finding in found:
        lines += _finding(finding)
    return Group(*lines)


def _finding(finding: Finding) -> list[Text]:
    head = Text.assemble(
        (f"{finding.severity}: ", _STYLES[finding.severity]),
        f"{finding.text} (asked {finding.asked}; there {finding.there}; {finding.source})",
    )
    return [
        head,
        *(Text(f"  flown: {x.change}: {x.outcome}") for x in finding.remedies),
    ]
