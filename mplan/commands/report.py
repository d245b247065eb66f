"""`mplan report`: executed workbooks, or two plans side by side, as a folder to pass around."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from mplan import lettering
from mplan.commands import arguments, exit_codes, output


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "execute the workbooks and write a report that opens offline, with its tables and data"
    more = "Where a cell of a workbook fails, 2: it is named, and all else is written. Two plans: "
    more += "0, whether they close or not."
    epilog = f"{exit_codes.EXIT_CODES} {more}"
    command = add_parser("report", help=text, description=text, epilog=epilog)
    arguments.add_scenario(command, needed=False)
    second = "another one: a report on both and what differs, --with changing this one"
    command.add_argument("second", metavar="SECOND", nargs="?", help=second)
    arguments.add_programme(command)
    command.add_argument("--to", metavar="DIR", required=True, help="folder to write into")
    studies = "fly the long studies too: sensitivities, the least that closes, odds, trades"
    command.add_argument("--studies", action="store_true", help=studies)
    sliders = "changed missions flown for the sliders of the page; 70 if not given, 0 for none"
    command.add_argument("--what-if", metavar="FLIGHTS", type=int, help=sliders)
    arguments.add_printing(command)
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Make it, unless there is nothing to print a PDF with that was asked for."""
    from mplan import report

    try:
        return _made(asked)
    except report.NoPdf as problem:
        output.complain(problem)
        return exit_codes.BAD_INPUT


def _made(asked: argparse.Namespace) -> int:
    """Make it, and name the cells that failed."""
    from mplan import given, report
    from mplan.show.programme import readings
    from mplan.show.terminal import progress

    if asked.scenario is None and (asked.programme is None or asked.changes):
        arguments.refuse("SCENARIO", "not given; accepted: a scenario, --programme FILE, or both")
    if asked.second is not None:
        return _two(asked)
    if asked.what_if is not None and asked.what_if < 0:
        arguments.refuse("--what-if", f"found {asked.what_if}; accepted: 0 flights or more")
    scenario = None if asked.scenario is None else arguments.scenario(asked)
    programme = None if asked.programme is None else given.programme_file(asked.programme)
    with progress("report") as step:
        made = report.make(
            scenario,
            Path(asked.to),
            programme=programme,
            progress=step,
            studies=asked.studies,
            flights=report.MOST_FLIGHTS if asked.what_if is None else asked.what_if,
            paper=asked.paper if asked.pdf else None,
        )
    said = [made.plan.verdict] if made.plan else []
    said += [readings.headline(made.calendar)] if made.calendar else []
    print(lettering.terminal("\n".join([*said, str(made.page)])))
    if made.failures:
        output.complain("\n".join(f"failed: {each}" for each in made.failures))
        return exit_codes.BAD_INPUT
    if made.calendar and readings.stopped(made.calendar):
        return exit_codes.DOES_NOT
    if made.plan is None:
        return exit_codes.CLOSES
    return exit_codes.of(asked, [(made.plan.closes, made.plan.decisions_open)])


def _two(asked: argparse.Namespace) -> int:
    """Write the report on two plans; what only a report on one has is refused."""
    from mplan import report
    from mplan.commands import compare
    from mplan.show import comparing

    given = {"--programme": asked.programme, "--what-if": asked.what_if}
    given |= {"--studies": asked.studies or None}
    for name, value in given.items():
        if value is not None:
            arguments.refuse(name, "does not go with two scenarios; accepted: with one")
    comparison = compare.flown(asked.scenario, asked.second, asked.changes)
    page = report.write_comparison(comparison, asked.to, asked.paper if asked.pdf else None)
    said = [*comparing.told(comparison), str(page)]
    print(lettering.terminal("\n".join(said)))
    return exit_codes.CLOSES
