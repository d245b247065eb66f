"""`mplan windows`: the launch windows of a span of days."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mplan import writing
from mplan.commands import arguments, exit_codes, output

if TYPE_CHECKING:
    from datetime import date

    from mplan.scenario import Scenario
    from mplan.studies.windows import Answer

MOST_DAYS = 366  # in one go
PICTURES = (".html", ".png")


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "the launch windows of a span of days, each flown as a whole mission"
    command = add_parser("windows", help=text, description=text)
    arguments.add_scenario(command)
    command.add_argument(
        "--from", dest="first", metavar="DATE", help="first day; the scenario's, if not given"
    )
    command.add_argument("--days", metavar="N", type=int, default=30, help="30, if not given")
    command.add_argument("--good", action="store_true", help="keep those whose plans close")
    command.add_argument(
        "--sort",
        metavar="KEY",
        default="opens",
        help="by opens, margin, sun, ...; opens, if not given",
    )
    command.add_argument(
        "--json", metavar="PATH", help="write them as JSON instead; - is standard output"
    )
    command.add_argument(
        "--picture",
        metavar="PATH",
        help="draw them too, and what other days and speeds cost: a page (.html) or a still (.png)",
    )
    arguments.add_executor(command)
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Scan the days, and print, write or draw what was found."""
    arguments.begin_processes(asked)
    from mplan.show import launch_windows
    from mplan.show.terminal import print_windows, progress
    from mplan.studies import windows

    scenario, executor = _checked(asked), arguments.executor(asked)
    with progress("windows") as step:
        found = windows.scan_windows(
            scenario, scenario.dates.launch_day, asked.days, executor=executor, done=step
        )
    found = windows.good(found) if asked.good else found
    told = windows.ordered(found, asked.sort)
    if asked.json is None:
        print_windows(scenario, told, sys.stdout)
    else:
        output.write_json(asked.json, launch_windows.document(scenario, told))
    if asked.picture is not None:
        _draw(scenario, found, asked.picture)
    flown = windows.chances(found)
    return exit_codes.of(asked, [(x.plan_closes, x.decisions_open) for x in flown])


def _checked(asked: argparse.Namespace) -> Scenario:
    """Return the scenario, once nothing else that was asked for is out of place."""
    from mplan.studies import windows
    from mplan.studies.launches import launch_days

    scenario = arguments.scenario(asked)
    if asked.first is not None:
        day = scenario.change("dates.launch_day", asked.first).dates.launch_day  # checked like any
        scenario = launch_days.moved(scenario, day)
    _check_days(scenario.dates.launch_day, asked.days)
    if asked.sort not in windows.ORDERS:
        text = f"found {asked.sort}; accepted: {', '.join(windows.ORDERS)}"
        arguments.refuse("--sort", text)
    if asked.picture is not None and Path(asked.picture).suffix not in PICTURES:
        text = f"found {asked.picture}; accepted: a path that ends in {' or '.join(PICTURES)}"
        arguments.refuse("--picture", text)
    return scenario


def _check_days(first: date, days: int) -> None:
    """Refuse a span of days that is none, too long, or leaves the ephemeris."""
    from mplan.scenario.dates import LAST_DAY

    if not 1 <= days <= MOST_DAYS:
        arguments.refuse("--days", f"found {days}; accepted: from 1 to {MOST_DAYS}")
    if (most := (LAST_DAY - first).days + 1) < days:
        text = f"found {days}, which from {first} lead out of the ephemeris (DE421); accepted: "
        arguments.refuse("--days", f"{text}up to {most}, the last day being {LAST_DAY}")


def _draw(scenario: Scenario, found: list[Answer], path: str) -> None:
    from mplan import windows_page

    try:
        drawn = windows_page.make(scenario, found, Path(path))
    except ValueError as problem:
        output.complain(problem)
        return
    writing.write(path, drawn)
