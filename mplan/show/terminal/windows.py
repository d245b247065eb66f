"""Launch windows on a terminal."""

from __future__ import annotations

from datetime import datetime
from typing import IO

from rich.console import Console
from rich.text import Text

from mplan.physics.constants import DEG
from mplan.scenario import Scenario
from mplan.scenario.wording import plain
from mplan.show import failed_insertions, launch_windows
from mplan.show.columns import Column
from mplan.show.terminal.page import cautions, console, titled
from mplan.studies.launches.chance import Chance, OtherLaunch
from mplan.studies.windows import Answer, NoChance, chances

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


_OTHERS = (
    Column("day", lambda pair: _WINDOWS[0].value(pair[0])),
    Column("side", lambda pair: _WINDOWS[1].value(pair[0])),
    Column("ship", lambda pair: plain(pair[1].name)),
    Column("opens", lambda pair: _clock(pair[1].opens)),
    Column("lift-off", lambda pair: _clock(pair[1].lift_off)),
    Column("ends", lambda pair: _clock(pair[1].closes)),
    Column("az.\ndeg", lambda pair: pair[1].azimuth / DEG, 1),
)
_FAILED = (
    *_WINDOWS[:2],
    *(x._replace(header=x.header.replace(" [", "\n[")) for x in failed_insertions.COLUMNS),
)


def _clock(moment: datetime | None) -> str:
    """Return the day and time of a moment, blank where there is none."""
    return f"{moment:%m-%d %H:%M}" if moment else ""


def _splash(chance: Chance) -> str:
    """Return the day and time of the splash, blank where nothing comes home."""
    if chance.splash is None:
        return ""
    return f"{_clock(chance.splash)}{'~' if chance.splash_estimate else ''}"


def print_windows(scenario: Scenario, answers: list[Answer], file: IO[str]) -> None:
    """Write the launch windows to `file`, and the days without one."""
    out = console(file)
    title = (
        f"Launch windows of {scenario.mission.name} from {scenario.dates.launch_day}, all times UTC"
    )
    planned = all(x.planned for x in chances(answers))
    columns = _WINDOWS if planned else [_AZIMUTH if x is _MOON else x for x in _WINDOWS]
    out.print(titled(title, columns, chances(answers), out))
    _print_others([(x, each) for x in chances(answers) for each in x.others], out)
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


def _print_others(found: list[tuple[Chance, OtherLaunch]], out: Console) -> None:
    """Write when the other ships go; nothing where there is none."""
    if not found:
        return
    out.print(
        titled("Launches of the other ships, as many days apart as planned", _OTHERS, found, out)
    )
    if any(chance.opens == chance.closes for chance, _ in found):
        out.print(
            Text(
                "A ship that follows into another's plane goes at one moment; the side is that of "
                "the ship that leaves for the Moon."
            )
        )


def _print_failed(found: list[Chance], out: Console) -> None:
    """Write what each arc does if insertion fails; nothing where none is to enter an orbit."""
    if found:
        title = "If insertion into lunar orbit fails: the arc, and the burn that brings it home"
        out.print(titled(title, _FAILED, found, out))
