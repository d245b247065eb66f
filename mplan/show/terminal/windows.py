"""Launch windows on a terminal."""

from __future__ import annotations

from typing import IO

from rich.console import Console
from rich.text import Text

from mplan.physics.constants import DEG
from mplan.scenario import Scenario
from mplan.show import failed_insertions, launch_windows
from mplan.show.columns import Column
from mplan.show.terminal.page import cautions, console, titled
from mplan.studies.windows import Answer, Chance, NoChance, chances

_MOON = Column("Moon\ndec.", lambda x: x.moon_declination / DEG, 1)
_AZIMUTH = Column("az.\ndeg", lambda x: f"{x.azimuth / DEG:.1f}{'' if x.planned else '*'}")
_WINDOWS = (
    Column("day", lambda x: f"{x.day:%m-%d}"),
    Column("side", lambda x: "asc." if x.side == "ascending" else "desc."),
    Column("opens", lambda x: f"{x.opens:%d %H:%M}"),
    Column("ends", lambda x: f"{x.closes:%d %H:%M}"),
    Column("inject.\nm/s", lambda x: x.injection_delta_v, 1),
    _MOON,
    Column(
        "Sun at\nsite", lambda x: None if x.sun_at_landing is None else x.sun_at_landing / DEG, 1
    ),
    Column("Sun\nfits", lambda x: launch_windows.yes(x.sun_fits)),
    Column("splash", lambda x: _splash(x)),
    Column("in", lambda x: x.splash_light),
    Column("plan\ncloses", lambda x: launch_windows.closing(x.plan_closes, x.decisions_open)),
    Column("margin\nm/s", lambda x: x.tightest_margin, 0),
)


_FAILED = (
    *_WINDOWS[:2],
    *(x._replace(header=x.header.replace(" [", "\n[")) for x in failed_insertions.COLUMNS),
)


def _splash(chance: Chance) -> str:
    """Return the day and time of the splash, blank where nothing comes home."""
    if chance.splash is None:
        return ""
    return f"{chance.splash:%m-%d %H:%M}{'~' if chance.splash_estimate else ''}"


def print_windows(scenario: Scenario, answers: list[Answer], file: IO[str]) -> None:
    """Write the launch windows to `file`, and the days without one."""
    out = console(file)
    title = (
        f"Launch windows of {scenario.mission.name} from {scenario.dates.launch_day}, all times UTC"
    )
    planned = all(x.planned for x in chances(answers))
    columns = _WINDOWS if planned else [_AZIMUTH if x is _MOON else x for x in _WINDOWS]
    out.print(titled(title, columns, chances(answers), out))
    _print_failed([x for x in chances(answers) if x.failed], out)
    if not answers:
        out.print(Text("No launch in these days closes."))
    for answer in answers:
        if isinstance(answer, NoChance):
            out.print(Text(f"{answer.day} {answer.side}: {answer.why}"))
    if not planned:
        out.print(
            Text("*: the planned azimuth misses the Moon; flown as near to it as one leads there")
        )
    if any(x.splash_estimate for x in chances(answers)):
        out.print(Text("~: estimate, the entry is not flown"))
    out.print(cautions())


def _print_failed(found: list[Chance], out: Console) -> None:
    """Write what each arc does if insertion fails; nothing where none is to enter an orbit."""
    if found:
        title = "If insertion into lunar orbit fails: the arc, and the burn that brings it home"
        out.print(titled(title, _FAILED, found, out))
