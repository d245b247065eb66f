"""`mplan sensitivities`: what a unit of each thing does to the margins, each flown."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from mplan.commands import arguments, exit_codes, output

if TYPE_CHECKING:
    from mplan.studies.sensitivities.differences import Sensitivities


CODES = f"{exit_codes.EXIT_CODES[:-1]}: what was flown is printed or written."


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = (
        "what a kilogram, a second of specific impulse, a metre, an hour do to margins and limits"
    )
    more = f"{text}: the mission is flown again for each"
    command = add_parser("sensitivities", help=text, description=more, epilog=CODES)
    arguments.add_scenario(command)
    command.add_argument(
        "--burn", metavar="NAME", help="tell the margin after this burn; the tightest, if not given"
    )
    command.add_argument(
        "--limit", metavar="NAME", help="tell what is left of this limit; all that is felt in it"
    )
    command.add_argument(
        "--exchange",
        action="store_true",
        help="tell too what a kilogram of each element costs at lift-off with all margins kept",
    )
    command.add_argument(
        "--json", metavar="PATH", help="write them as JSON instead, all burns; - is standard output"
    )
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Fly the mission with a unit more and less of each thing that it has."""
    arguments.begin_processes(asked)
    from mplan.plan import fly
    from mplan.show import sensitivities
    from mplan.show.terminal import print_sensitivities, progress
    from mplan.studies.sensitivities import differences, exchange, rooms

    plan = fly(arguments.scenario(asked))
    if asked.burn is not None and asked.burn not in (known := differences.margins(plan.flight)):
        arguments.refuse("--burn", f"found {asked.burn}; accepted: {', '.join(known)}")
    if asked.limit is not None and asked.limit not in rooms.of(plan.flight):
        some = "; ".join(rooms.in_brief(plan.flight))
        more = "or another one of limits in what --json writes"
        arguments.refuse("--limit", f"found {asked.limit}; accepted: {some}; {more}")
    with progress("sensitivities") as step:
        found = differences.of(plan, done=step)
    ratios, elements = [], len(exchange.asked(plan)) if asked.exchange else 0
    if elements and not found.stopped:
        with progress("exchange ratios") as step:
            ratios = exchange.of(plan, done=step)
    if asked.json is None:
        burns = _told(found, asked.burn)
        print_sensitivities(found, burns, ratios, sys.stdout, asked.limit or "", elements)
    else:
        whole = sensitivities.document(plan.scenario, found, ratios, elements)
        output.write_json(asked.json, whole)
    if found.stopped or len(ratios) < elements:
        return exit_codes.STOPPED
    return exit_codes.of(asked, [(plan.closes, plan.decisions_open)])


def _told(found: Sensitivities, burn: str | None) -> list[str]:
    return [name for name in (burn or found.tightest,) if name]
