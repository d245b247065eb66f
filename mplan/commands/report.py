"""`mplan report`: the workbooks, executed, as a folder that opens offline."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from mplan import lettering
from mplan.commands import arguments, exit_codes, output


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "execute the workbooks and write a report that opens offline, with its tables and data"
    more = "Where a cell of a workbook fails, 2: it is named, and all else is written."
    epilog = f"{exit_codes.EXIT_CODES} {more}"
    command = add_parser("report", help=text, description=text, epilog=epilog)
    arguments.add_scenario(command)
    command.add_argument("--to", metavar="DIR", required=True, help="folder to write into")
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Make it, and name the cells that failed."""
    from mplan import report
    from mplan.show.terminal import progress

    with progress("report") as step:
        made = report.make(arguments.scenario(asked), Path(asked.to), progress=step)
    print(lettering.terminal(f"{made.plan.verdict}\n{made.page}"))
    if made.failures:
        output.complain("\n".join(f"failed: {each}" for each in made.failures))
        return exit_codes.BAD_INPUT
    return exit_codes.of(asked, [(made.plan.closes, made.plan.decisions_open)])
