"""`mplan programme`: the calendar of a programme of missions, printed, as data, for calendars."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import datetime, timezone

from mplan.commands import arguments, exit_codes, output

CODES = "Exit codes: 0 nothing that clashes stops it, 1 something does, 2 bad input."


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "a programme of missions on one calendar: builds, pads, crews, teams, money"
    command = add_parser("programme", help=text, description=text, epilog=CODES)
    command.add_argument(
        "file",
        metavar="FILE",
        help="programme file (TOML), or the name of one that comes with the kit",
    )
    text = "schedule it with another value, as TOML has it, and print what that costs in days and "
    text += "money: --with pads.north.turnaround='20 d'; KEY= takes the key out"
    arguments.add_changes(command, text)
    command.add_argument(
        "--json", metavar="PATH", help="write the calendar as JSON instead; - is standard output"
    )
    command.add_argument(
        "--ics", metavar="PATH", help="write it as iCalendar instead; - is standard output"
    )
    command.add_argument("--all", action="store_true", help="print every task with its float")
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Schedule the programme, and print or write its calendar."""
    from mplan import given
    from mplan.programme import changed_design, load_programme, missed_windows, plan_programme
    from mplan.show.programme import readings
    from mplan.show.terminal import print_programme, progress

    stated = load_programme(given.programme_file(asked.file))
    changes = dict(map(given.change, asked.changes))
    printed = asked.json is None and asked.ics is None
    with progress("programme") as step:
        calendar = plan_programme(stated.change(changes) if changes else stated, done=step)
        missed = missed_windows(calendar.programme, step) if printed else ()
        change = changed_design(stated, changes, step) if printed else None
    if asked.json is not None:
        from mplan.show.programme.document import document

        output.write_json(asked.json, document(calendar))
    if asked.ics is not None:
        from mplan.show.programme.export import icalendar_text

        output.write(asked.ics, icalendar_text(calendar, datetime.now(timezone.utc)))
    if printed:
        print_programme(calendar, sys.stdout, missed=missed, change=change, every=asked.all)
    return exit_codes.DOES_NOT if readings.stopped(calendar) else exit_codes.CLOSES
