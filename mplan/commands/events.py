"""`mplan events`: the events of a scenario as TOML."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from mplan.commands import arguments


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "print the events of a scenario as TOML, to paste into the file and edit"
    command = add_parser("events", help=text, description=text)
    arguments.add_scenario(command)
    said = "all ships' events in one list, in which those of other ships name theirs"
    command.add_argument("--one-list", action="store_true", help=said)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Print them below the cautions."""
    from mplan.cautions import CAUTIONS

    print(*(f"# {caution}" for caution in CAUTIONS), "", sep="\n")
    print(arguments.scenario(asked).events_as_toml(together=asked.one_list), end="")
    return 0
