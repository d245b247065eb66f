"""`mplan brief`: the mission on one page, or as data."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import datetime, timezone
from typing import TYPE_CHECKING

from mplan.commands import arguments, exit_codes, output

if TYPE_CHECKING:
    from mplan.plan import Plan


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "one page: does it close, the budget, the timeline, what the checks found"
    command = add_parser("brief", help=text, description=text, epilog=exit_codes.EXIT_CODES)
    arguments.add_scenario(command)
    command.add_argument(
        "--json", metavar="PATH", help="write the plan as JSON instead; - is standard output"
    )
    command.add_argument(
        "--oem", metavar="PATH", help="write the arcs as a CCSDS OEM instead; - is standard output"
    )
    command.add_argument(
        "--all", action="store_true", help="print every finding, not one line for those of a kind"
    )
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Fly the plan with its remedies, and print or write it."""
    from mplan.process import beside

    beside.keep_single()  # before NumPy comes
    from mplan import glancing
    from mplan.checks import contact
    from mplan.physics import compiling
    from mplan.plan import flown, judged

    if not beside.may_copy():  # beside a copy, to load them takes longer than they save
        compiling.load_kept()
    flight = flown(arguments.scenario(asked))
    glance = glancing.begin(flight)
    plan = judged(flight, remedies=True, done=_quicker)
    if asked.oem is None:
        contact.of(flight)  # which page and document tell, while the copy looks
    looks = glance()
    plan = glancing.glanced(plan, looks)
    if asked.json is not None:
        from mplan.contract import as_json

        output.write(asked.json, as_json(plan))
    if asked.oem is not None:
        _write_arcs(plan, asked.oem)
    if asked.json is None and asked.oem is None:
        from mplan.show.terminal import print_brief

        print_brief(plan, sys.stdout, looks, every=asked.all)
    return exit_codes.of(asked, [(plan.closes, plan.decisions_open)])


def _quicker(made: int, most: int) -> None:
    """Load the compiled functions once remedies are flown, as one is seldom alone."""
    from mplan.physics import compiling

    if made == 1:
        compiling.load_kept()


def _write_arcs(plan: Plan, path: str) -> None:
    """Write the arcs, or say why there are none; the exit code is that of the plan."""
    from mplan.oem import NoArcs, message

    try:
        output.write(path, message(plan, datetime.now(timezone.utc)))
    except NoArcs as reason:
        print(reason, file=sys.stderr)
