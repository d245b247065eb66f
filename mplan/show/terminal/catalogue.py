"""A catalogue of engines on a terminal, never over 100 columns."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import IO

from rich.text import Text

from mplan.physics.constants import MINUTE
from mplan.scenario.catalogue import Listed
from mplan.show.columns import Column
from mplan.show.engine_trades import MONTH
from mplan.show.terminal.page import cautions, console, titled


def print_catalogue(place: Path, engines: Sequence[Listed], file: IO[str]) -> None:
    """Write the engines of a folder to `file`, each as its file has it."""
    out = console(file)
    out.print(titled("Engines of the catalogue", _COLUMNS, engines, out))
    out.print(Text(f"\n{_KEY}\nfiles: {place}", overflow="fold"))
    out.print(cautions())


def _propellants(listed: Listed) -> str:
    return " + ".join(listed.engine.propellants or ("as its tanks hold",))


def _months(listed: Listed) -> float | None:
    time = listed.engine.delivery_time
    return None if time is None else time / MONTH


_COLUMNS = (
    Column("engine", lambda x: x.name),
    Column("propellants", _propellants),
    Column("thrust\nkN", lambda x: x.engine.thrust_vacuum / 1e3, 0),
    Column("Isp\ns", lambda x: x.engine.isp_vacuum, 0),
    Column("mix-\nture", lambda x: x.engine.mixture_ratio, 2),
    Column("starts", lambda x: x.engine.starts, 0),
    Column("burn\nmin", lambda x: x.engine.qualified_duration / MINUTE, 1),
    Column("mass\nkg", lambda x: x.engine.mass, 0),
    Column("length\nm", lambda x: x.engine.length, 1),
    Column("status", lambda x: x.engine.development_status),
    Column("once\nM", lambda x: x.engine.nonrecurring_cost, 0),
    Column("each\nM", lambda x: x.engine.unit_cost, 0),
    Column("deliv.\nmonths", _months, 0),
)
_KEY = (
    "thrust and Isp in vacuum; mixture: oxidiser to fuel by mass; starts and burn: what it is\n"
    "qualified for; once: development, qualification and tooling, in millions; each: of one built."
)
