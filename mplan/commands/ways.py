"""`mplan ways`: what leads the crew home once something fails, at every time or at one."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from mplan.commands import arguments, exit_codes, output

if TYPE_CHECKING:
    from mplan.checks.finding import Finding
    from mplan.contingencies.ways_out.coverage import WaysCoverage
    from mplan.contingencies.ways_out.failures import FailureName
    from mplan.flight.record import Flight
    from mplan.studies.ways_out import WaysAsked

CODES = (
    "Exit codes: 0 a way out is open wherever it was examined, 1 there is a gap, 2 bad input, 130 "
    "stopped by Ctrl-C: what was flown is printed and written."
)


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "the ways out of every stretch, from pad to splash, once something fails; the gaps"
    command = add_parser("ways", help=text, description=text, epilog=CODES)
    arguments.add_scenario(command)
    command.add_argument(
        "--failure",
        metavar="NAME",
        action="append",
        default=[],
        help='"main engine lost", "one engine lost", "called off", "cabin leaks" or "half the '
        'power lost"; all of them, if not given. May be given several times',
    )
    command.add_argument(
        "--at",
        metavar="HH:MM",
        help="every way out at this time since lift-off, such as 75:41, not the whole mission",
    )
    command.add_argument(
        "--cabin", metavar="ELEMENT", help="of the people in this one; all cabins, if not given"
    )
    command.add_argument(
        "--json", metavar="PATH", help="write them as JSON instead; - is standard output"
    )
    command.add_argument(
        "--remedies",
        action="store_true",
        help="fly changes that may close the longest gaps too; a minute or more",
    )
    arguments.add_executor(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Fly the ways out that were asked for, and print or write them."""
    if asked.at is None:
        arguments.begin_processes(asked)
    from mplan.plan import fly
    from mplan.studies import ways_out

    scenario, failures = arguments.scenario(asked), _failures(asked)
    if asked.at is not None and asked.remedies:
        arguments.refuse("--remedies", "does not go with --at; accepted: of the whole mission")
    elapsed = None if asked.at is None else ways_out.time_named(asked.at)
    flight = fly(scenario).flight
    if flight.ended is not None:
        text = f"the plan is not flown to its end: {flight.ended.text}"
        raise scenario.refused(("events",), f"{text}; accepted: a plan that is")
    if elapsed is not None:
        return _at(asked, flight, elapsed, failures)
    return _whole(asked, flight, failures)


def _at(
    asked: argparse.Namespace, flight: Flight, elapsed: float, failures: tuple[FailureName, ...]
) -> int:
    """Tell of one time; a failure that was not named is left out where no engine burns any more."""
    from mplan.show import crew_and_ways_out as shown
    from mplan.show.terminal import print_ways_at
    from mplan.studies import ways_out

    found: tuple[WaysAsked, ...] = tuple(
        ways_out.at(flight, elapsed, each, asked.cabin or "")
        for each in failures
        if asked.failure or ways_out.may_fail(flight, elapsed, each, asked.cabin or "")
    )
    if asked.json is None:
        print_ways_at(found, sys.stdout)
    else:
        output.write_json(asked.json, shown.document(flight, asked=found))
    good = all(any(not way.closed for way in each.ways) for each in found if not each.unknown)
    return exit_codes.CLOSES if good else exit_codes.DOES_NOT


def _whole(asked: argparse.Namespace, flight: Flight, failures: tuple[FailureName, ...]) -> int:
    """Tell of the whole mission."""
    from mplan.show import crew_and_ways_out as shown
    from mplan.show.terminal import print_ways, progress
    from mplan.studies import ways_out

    cabins = (ways_out.cabin_named(flight, asked.cabin),) if asked.cabin else ()
    executor = arguments.executor(asked)
    with progress("ways out") as step:
        found = ways_out.of(flight, cabins=cabins, failures=failures, executor=executor, done=step)
    mended = _mended(flight, found) if asked.remedies else ()
    if asked.json is None:
        print_ways(found, sys.stdout, mended)
    else:
        output.write_json(asked.json, shown.document(flight, found, mended=mended))
    if found.stopped:
        return exit_codes.STOPPED
    return exit_codes.DOES_NOT if found.gaps else exit_codes.CLOSES


def _mended(flight: Flight, found: WaysCoverage) -> tuple[Finding, ...]:
    """Return the gaps as findings, the longest with changes that were flown."""
    from mplan.checks.ways_out import remedied
    from mplan.show.terminal import progress

    with progress("changes") as step:
        return remedied(flight, found, done=step)


def _failures(asked: argparse.Namespace) -> tuple[FailureName, ...]:
    from mplan.contingencies.ways_out.failures import FAILURES
    from mplan.studies import ways_out

    named = (ways_out.failure_named(each) for each in asked.failure)
    return tuple(dict.fromkeys(named)) or FAILURES
