"""`mplan compare`: two plans side by side, what differs in the files and what it does."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from mplan.commands import arguments, output

if TYPE_CHECKING:
    from mplan.comparing import Comparison

CODES = (
    "Exit codes: 0 compared, whether the plans close or not, 2 bad input, 130 stopped by Ctrl-C."
)


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "two plans side by side: what differs in their files, and what it does to the mission"
    command = add_parser("compare", help=text, description=text, epilog=CODES)
    kind = "scenario file (TOML), or the name of a mission that comes with the kit"
    command.add_argument("first", metavar="A", help=kind)
    command.add_argument(
        "second", metavar="B", nargs="?", help="another one; A itself, with --with, if not given"
    )
    text = "fly B with another value, as TOML has it: --with mission.surface_stay='40 h'; KEY= "
    arguments.add_changes(command, f"{text}takes the key out")
    command.add_argument(
        "--json", metavar="PATH", help="write the comparison as JSON instead; - is standard output"
    )
    command.add_argument("--all", action="store_true", help="print what is the same too")
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Fly both, and print or write what differs."""
    if asked.second is None and not asked.changes:
        arguments.refuse("B", "not given; accepted: a second scenario, --with KEY=VALUE, or both")
    comparison = flown(asked.first, asked.second or asked.first, asked.changes)
    if asked.json is not None:
        from mplan.show.comparing.document import document

        output.write_json(asked.json, document(comparison))
    else:
        from mplan.show.terminal import print_comparison

        print_comparison(comparison, sys.stdout, every=asked.all)
    return 0


def flown(first: str, second: str, changes: list[str]) -> Comparison:
    """Return two files, the second with other values, flown and compared. Raises ScenarioError."""
    from mplan import given
    from mplan.comparing import compare
    from mplan.plan import fly

    plans = given.scenario(first, []), given.scenario(second, changes)
    return compare(*map(fly, plans))
