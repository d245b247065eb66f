"""`mplan size`: the least mass, cost or height that closes, over what is freed."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from mplan.commands import arguments, exit_codes, output

if TYPE_CHECKING:
    from mplan.scenario import Scenario
    from mplan.studies.sizing import Sizing

CODES = (
    "Exit codes: 0 a plan that closes was found, with nothing left to decide (or "
    "--accept-decisions), 1 none was, 2 bad input, 130 stopped by Ctrl-C: the best so far is "
    "printed and written."
)
FREE = (
    "free a key within a range: elements.X.load='40 t..70 t' (all that its main engines burn; "
    "tanks and length follow), elements.X.length, elements.X.engines.Y.count=1..4, any other "
    "number of the file; or as a choice: elements.X.engine='A|B' (without a value: all of the "
    "catalogue that fit). May be given several times"
)


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "the least lift-off mass, cost or height that closes, over what is freed of a scenario"
    command = add_parser("size", help=text, description=text, epilog=CODES)
    arguments.add_scenario(command)
    command.add_argument("--free", metavar="KEY=LOW..HIGH", action="append", default=[], help=FREE)
    command.add_argument(
        "--least",
        metavar="WHAT",
        default="lift-off-mass",
        help="lift-off-mass (if not given), cost or height",
    )
    command.add_argument("--to", metavar="FILE", help="write the scenario that was found")
    command.add_argument(
        "--json", metavar="PATH", help="write all of it as JSON instead; - is standard output"
    )
    command.add_argument(
        "--flights", metavar="N", type=int, help="make no more than this; 1000, if not given"
    )
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Search, print or write what was found, and the scenario."""
    from mplan.show import sizing as shown
    from mplan.show.terminal import print_sizing

    if asked.flights is not None and asked.flights < 1:
        arguments.refuse("--flights", f"found {asked.flights}; accepted: 1 or more")
    scenario = arguments.scenario(asked)
    found = _searched(asked, scenario)
    if asked.json is None:
        print_sizing(found, sys.stdout)
    else:
        output.write_json(asked.json, shown.document(found))
    if asked.to is not None:
        _write(found, asked.to)
    if found.stopped:
        return exit_codes.STOPPED
    return exit_codes.CLOSES if found.closes else exit_codes.DOES_NOT


def _searched(asked: argparse.Namespace, scenario: Scenario) -> Sizing:
    """Search with a bar that tells the best so far."""
    from mplan.show.terminal import progress
    from mplan.studies import sizing
    from mplan.studies.sizing import MOST_FLIGHTS

    said = ["size"]
    with progress("size") as step:
        return sizing.of(
            scenario,
            asked.free,
            asked.least,
            accept_decisions=asked.accepted,
            most=asked.flights or MOST_FLIGHTS,
            done=lambda done, total: step(done, total, said[0]),
            so_far=lambda text: said.__setitem__(0, f"size, {text}"),
        )


def _write(found: Sizing, path: str) -> None:
    """Write the scenario that was found, or say why there is none."""
    from mplan.scenario import based_file
    from mplan.show import sizing as shown

    if not found.closes or found.after is None:
        output.complain(f"{path}: not written, for nothing that was flown closes")
        return
    based_file.write(found.after.scenario, path, shown.head(found), shown.notes(found))
    print(f"written: {path}", file=sys.stderr)
