"""Arguments that commands share: a scenario, and the values it is to be flown with."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    from mplan.scenario import Scenario
    from mplan.studies.executors import Executor


def add_scenario(command: argparse.ArgumentParser, *, needed: bool = True) -> None:
    """Let a command take a scenario, with other values."""
    command.add_argument(
        "scenario",
        metavar="SCENARIO",
        nargs=None if needed else "?",
        help="scenario file (TOML), or the name of a mission that comes with the kit",
    )
    text = "fly it with another value, as TOML has it; text needs no quotes: --with "
    add_changes(command, f"{text}orbits.parking_altitude='190 km'; KEY= takes the key out")


def add_changes(command: argparse.ArgumentParser, text: str) -> None:
    """Let a command take other values of its file; `text` tells what it does with them."""
    command.add_argument(
        "--with", dest="changes", metavar="KEY=VALUE", action="append", default=[], help=text
    )


def add_scheduler(command: argparse.ArgumentParser) -> None:
    """Let a command have its flights flown by a cluster."""
    command.add_argument(
        "--scheduler",
        metavar="ADDRESS",
        help="fly on the workers of a Dask cluster, such as tcp://10.0.0.7:8786",
    )


def add_executor(command: argparse.ArgumentParser) -> None:
    """Let a command share its flights among processes of this machine or a cluster's workers."""
    command.add_argument(
        "--workers", metavar="N", type=int, help="processes; one a core, if not given"
    )
    add_scheduler(command)


def executor(asked: argparse.Namespace) -> Executor | None:
    """Return who was asked to fly; None where the study is to choose. Raises ScenarioError."""
    from mplan.studies import executors

    if asked.workers is not None and asked.workers < 1:
        refuse("--workers", f"found {asked.workers}; accepted: at least 1")
    refuse_both(asked)
    if asked.workers is None and asked.scheduler is None:
        return None
    return executors.chosen(asked.workers, None, asked.scheduler)


def begin_processes(asked: argparse.Namespace) -> None:
    """Have what processes are copied from load beside what the command reads and flies first."""
    alone = getattr(asked, "workers", None) == 1
    if not alone and not getattr(asked, "scheduler", None):
        from mplan.studies.executors import fork_server  # 20 ms, which other commands do without

        fork_server.begin()


def refuse_both(asked: argparse.Namespace) -> None:
    """Refuse processes of this machine beside the workers of a cluster."""
    if asked.workers is not None and asked.scheduler is not None:
        refuse("--workers", "does not go with --scheduler, whose workers are its own")


def add_printing(command: argparse.ArgumentParser) -> None:
    """Let a command print its page to a PDF too."""
    printed = "print the page to a PDF too, by a Chromium, Chrome or Edge that is installed"
    command.add_argument("--pdf", action="store_true", help=printed)
    sheets = "of the PDF; A4 if not given"
    command.add_argument("--paper", choices=("A4", "letter"), default="A4", help=sheets)


def add_programme(command: argparse.ArgumentParser) -> None:
    """Let a command take a programme of missions too."""
    command.add_argument(
        "--programme",
        metavar="FILE",
        help="programme file (TOML), or the name of one that comes with the kit",
    )


def scenario(asked: argparse.Namespace) -> Scenario:
    """Return the scenario with those values. Raises ScenarioError."""
    from mplan import given

    return given.scenario(asked.scenario, asked.changes)


def refuse(argument: str, text: str) -> NoReturn:
    """Raise ScenarioError for an argument of the command line."""
    from mplan.scenario import Problem, ScenarioError

    raise ScenarioError([Problem("command line", argument, text)])
