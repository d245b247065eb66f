"""The command line: its parser, and what becomes of errors and of Ctrl-C."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from typing import NoReturn

import mplan
from mplan.commands import (
    brief,
    cards,
    compare,
    engines,
    events,
    lab,
    new,
    odds,
    programme,
    report,
    sensitivities,
    size,
    study,
    ways,
    windows,
)
from mplan.commands.exit_codes import BAD_INPUT, EXIT_CODES, STOPPED
from mplan.commands.output import complain

# As help lists them.
COMMANDS = (
    new,
    brief,
    compare,
    report,
    cards,
    lab,
    windows,
    ways,
    engines,
    sensitivities,
    study,
    size,
    odds,
    events,
    programme,
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # looking for any takes 0.02 s
    from mplan.scenario import ScenarioError

    asked = parser().parse_args(arguments)
    try:
        return asked.run(asked)
    except ScenarioError as problems:
        complain(problems)
        return BAD_INPUT
    except OSError as problem:
        complain(f"{problem.filename or 'output'}: {problem.strerror or problem}")
        return BAD_INPUT
    except KeyboardInterrupt:
        print("stopped; nothing was written", file=sys.stderr)
        return STOPPED


def parser() -> argparse.ArgumentParser:
    """Return the parser of the command line."""
    whole = argparse.ArgumentParser(
        prog="mplan",
        description="Plan a crewed Moon landing on paper, from lift-off to splashdown.",
        epilog=f"{EXIT_CODES} A planning study, not flight approval.",
    )
    whole.add_argument("--version", action=_Version, nargs=0, help="show the version and exit")
    added = whole.add_subparsers(metavar="COMMAND", required=True)
    for command in COMMANDS:
        command.add(added.add_parser)
    return whole


class _Version(argparse.Action):
    """Looks the version up when it is asked for: what reads it takes a while to bring in."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> NoReturn:
        """Print it, and end."""
        print(f"mplan {mplan.__version__}")
        parser.exit()


if __name__ == "__main__":
    from mplan.stopping import command

    sys.exit(command())
