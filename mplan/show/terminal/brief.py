"""The one-page brief: does it close, what the checks found, then what it all rests on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import IO

from rich.console import Console, RenderableType
from rich.text import Text

from mplan.checks import contact, limits
from mplan.contingencies.ways_out.looks import WaysLook
from mplan.flight.record import BEHIND, BurnRecord
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show import contact as contact_shown
from mplan.show import counters as counter_rows
from mplan.show import gist, other_ships, ways_glance
from mplan.show import limits as limit_rows
from mplan.show.columns import Column, clock, started
from mplan.show.terminal import findings
from mplan.show.terminal.page import cautions, console, titled

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
_KEY = (
    "available: what the tanks hold for this burn and the later ones of its engine; reserved: by\n"
    "the margin policy; -: the stage burns out by plan; start 2/3: the second of three that the\n"
    "engine is qualified for; *: behind the Moon, out of contact; flown, unless marked estimate."
)


def print_brief(
    plan: Plan, file: IO[str], looks: Sequence[WaysLook] = (), *, every: bool = False
) -> None:
    """Write the brief to `file`, with what `looks` at its ways out have seen.

    With `every` finding on a line of its own.
    """
    out = console(file)
    for part in _parts(plan, out, looks, every=every):
        out.print(part)


def _parts(
    plan: Plan, out: Console, looks: Sequence[WaysLook], *, every: bool
) -> list[RenderableType]:
    mission = plan.scenario.mission
    return [
        Text(plan.verdict, style=_style(plan)),
        Text(f"{mission.profile}, crew of {mission.crew}; {plan.scenario.source}"),
        *(Text(x) for x in gist.lines(plan)),
        *(Text(x) for x in other_ships.lines(plan)),
        *_contact(plan),
        *([Text(ways_glance.told(looks))] if looks else []),
        findings.listed(plan.findings, every=every),
        *_table("Budget", _BUDGET, plan.every_burn, out),
        *([Text(_KEY)] if plan.burns else []),
        titled("Limits", limit_rows.COLUMNS, limit_rows.brief(limits.of(plan.flight)), out),
        *_counters(plan),
        *_table("Timeline", _timeline(plan), plan.every_moment, out),
        cautions(),
    ]


def _contact(plan: Plan) -> list[RenderableType]:
    """Return what stations see, and what radio links leave, in a line each as far as stated."""
    log = contact.of(plan.flight)
    said = contact_shown.sentence(log), contact_shown.link_sentence(log)
    return [Text(each) for each in said if each]


def _style(plan: Plan) -> str:
    """Return the colour of the verdict; its words say the same."""
    if not plan.closes:
        return "bold red"
    return "bold yellow" if plan.decisions_open else "bold green"


def _table(
    name: str, columns: Sequence[Column], rows: Sequence[object], out: Console
) -> list[RenderableType]:
    """Return a table under its name; nothing where it has no row."""
    return [titled(name, columns, rows, out)] if rows else []


def _counters(plan: Plan) -> list[RenderableType]:
    """Return the counters in short; nothing where nothing was flown."""
    lines = counter_rows.lines(plan)
    return [Text("\nCounters", style="bold"), *map(Text, lines)] if lines else []


def _timeline(plan: Plan) -> tuple[Column, ...]:
    return (
        Column("event", lambda x: x.event),
        Column("UTC", lambda x: _utc(plan, x.elapsed)),
        Column("since lift-off", lambda x: clock(x.elapsed)),
        Column("mass [t]", lambda x: x.mass / 1e3, 2),
        Column("basis", lambda x: "estimate" if x.estimate else ""),
    )


def _utc(plan: Plan, elapsed: float) -> str:
    return f"{plan.flight.utc(elapsed):%Y-%m-%d %H:%M:%S}" if plan.flight.dated else "not known"


def _unseen(burn: BurnRecord) -> str:
    return "*" if burn.contact == BEHIND else ""
