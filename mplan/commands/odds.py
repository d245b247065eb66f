"""`mplan odds`: how likely the plan holds, by missions that are drawn and flown."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mplan.commands import arguments, exit_codes, output

if TYPE_CHECKING:
    from mplan.plan import Plan
    from mplan.studies.odds import Odds


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "how likely burns, limits and the whole plan hold, what drives it, what to carry"
    more = f"{text}: missions are drawn by the scenario's [dispersions], and each is flown"
    command = add_parser("odds", help=text, description=more, epilog=exit_codes.EXIT_CODES)
    arguments.add_scenario(command)
    command.add_argument("--missions", metavar="N", type=int, help="1000, if not given")
    command.add_argument(
        "--seed", metavar="S", type=int, default=1, help="of what is drawn; 1, if not given"
    )
    command.add_argument(
        "--workers", metavar="N", type=int, help="processes; one a core, if not given"
    )
    arguments.add_scheduler(command)
    command.add_argument(
        "--to",
        metavar="DIR",
        help="keep every mission in this folder, as Parquet too: a run that was stopped goes on",
    )
    command.add_argument(
        "--json", metavar="PATH", help="write the odds as JSON instead; - is standard output"
    )
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Fly the missions, and print or write what they tell."""
    arguments.begin_processes(asked)
    from mplan.plan import fly
    from mplan.show import odds as shown
    from mplan.show.terminal import print_odds

    _check(asked)
    plan = fly(arguments.scenario(asked))
    found = _flown(asked, plan)
    if found is None:
        return exit_codes.STOPPED
    if asked.json is None:
        print_odds(found, sys.stdout)
    else:
        output.write_json(asked.json, shown.document(found))
    return exit_codes.of(asked, [(plan.closes, plan.decisions_open)])


def _flown(asked: argparse.Namespace, plan: Plan) -> Odds | None:
    """Return the odds; None where it was stopped with missions kept, which is said."""
    from mplan.show.terminal import progress
    from mplan.studies import executors, odds

    told = (0, 0)
    far = executors.chosen(scheduler=asked.scheduler) if asked.scheduler else None
    count = odds.MISSIONS if asked.missions is None else asked.missions
    with progress("missions") as step:

        def done(flown: int, total: int) -> None:
            nonlocal told
            told = flown, total
            step(flown, total)

        to = None if asked.to is None else Path(asked.to)
        try:
            return odds.of(
                plan, count, asked.seed, executor=far, workers=asked.workers, to=to, done=done
            )
        except KeyboardInterrupt:
            if to is None:
                raise
    output.complain(f"stopped; {told[0]:,} of {told[1]:,} missions are kept in {asked.to}, from")
    output.complain("where the same command goes on")
    return None


def _check(asked: argparse.Namespace) -> None:
    """Refuse counts that are none; the study refuses more missions than it takes."""
    from mplan.studies.odds import MOST

    if asked.missions is not None and not 1 <= asked.missions <= MOST:
        text = f"found {asked.missions:,}; accepted: from 1 to {MOST:,}"
        arguments.refuse("--missions", text)
    if asked.workers is not None and asked.workers < 1:
        arguments.refuse("--workers", f"found {asked.workers}; accepted: at least 1")
    arguments.refuse_both(asked)
    if asked.seed < 0:
        arguments.refuse("--seed", f"found {asked.seed}; accepted: zero or more")
