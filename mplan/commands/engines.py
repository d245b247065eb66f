"""`mplan engines`: engines of the catalogue, each flown; or the catalogue itself."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from mplan.commands import arguments, exit_codes, output


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "the engines of the catalogue that fit, each flown as a whole mission"
    command = add_parser("engines", help=text, description=text, epilog=exit_codes.EXIT_CODES)
    arguments.add_scenario(command, needed=False)
    command.add_argument(
        "--catalogue",
        action="store_true",
        help="print the catalogue itself: that beside SCENARIO, if any, else the kit's",
    )
    command.add_argument(
        "--element", metavar="X", help="trade those of one element; all, if not given"
    )
    command.add_argument(
        "--json", metavar="PATH", help="write them as JSON instead; - is standard output"
    )
    arguments.add_executor(command)
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Fly the mission with each engine, or print the catalogue."""
    if asked.scenario is not None and not asked.catalogue:
        arguments.begin_processes(asked)
    from mplan.show import engine_trades
    from mplan.show.terminal import print_trades, progress
    from mplan.studies import engines

    if asked.catalogue:
        return _catalogue(asked)
    if asked.scenario is None:
        arguments.refuse("SCENARIO", "found none; accepted: a scenario file, or --catalogue")
    scenario, executor = arguments.scenario(asked), arguments.executor(asked)
    with progress("engines") as step:
        found = engines.scan_engines(scenario, asked.element, executor=executor, done=step)
    if asked.json is None:
        print_trades(scenario, found, sys.stdout)
    else:
        output.write_json(asked.json, engine_trades.document(scenario, found))
    return exit_codes.of(asked, [(x.closes, x.decisions_open) for x in found])


def _catalogue(asked: argparse.Namespace) -> int:
    from mplan import shipped
    from mplan.scenario import catalogue
    from mplan.show.terminal import print_catalogue

    own = Path(asked.scenario).parent if asked.scenario else Path()
    place = shipped.engines(own / "engines")
    print_catalogue(place, catalogue.read(place), sys.stdout)
    return 0
