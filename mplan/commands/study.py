"""`mplan study`: many missions from one, each flown, kept, and which of them are best."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from mplan import writing
from mplan.commands import arguments, exit_codes, output

if TYPE_CHECKING:
    from mplan.studies.trades import Trades

PICTURES = (".html", ".png")


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "a grid, a sweep or a list of missions, each flown, and which of them none beats"
    more = "Answers are kept as they come: a study that was ended goes on where it was."
    epilog = (
        "Exit codes: 0 a case closes and leaves nothing to decide (or --accept-decisions), 1 none "
        "does, 2 bad input, 130 stopped by Ctrl-C."
    )
    command = add_parser("study", help=text, description=f"{text}. {more}", epilog=epilog)
    command.add_argument(
        "file", metavar="FILE", help="study file (TOML), or the name of one that comes with the kit"
    )
    command.add_argument(
        "--workers", metavar="N", type=int, help="processes that fly; one a core, if not given"
    )
    arguments.add_scheduler(command)
    command.add_argument(
        "--csv", metavar="PATH", help="write every case as CSV; - is standard output"
    )
    command.add_argument("--parquet", metavar="PATH", help="write every case as Parquet")
    command.add_argument(
        "--picture", metavar="PATH", help="draw the cases: a page (.html) or a still (.png)"
    )
    command.add_argument(
        "--again", action="store_true", help="fly every case, also those whose answer is kept"
    )
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Fly the cases that have no answer yet, and print and write all."""
    arguments.begin_processes(asked)
    from mplan import given
    from mplan.show.terminal import progress
    from mplan.studies import executors, trades
    from mplan.studies.trades import store as stores

    _check(asked)
    study = trades.load_study(given.study_file(asked.file))
    with closing(trades.CaseStore(stores.place(study.source or asked.file))) as store:
        if asked.again:
            store.forget()
        if store.trouble:
            output.complain(f"answers are not kept: {store.trouble}")
        try:
            with progress("study") as step:
                named = asked.workers or asked.scheduler
                executor = executors.chosen(asked.workers, None, asked.scheduler) if named else None
                found = trades.of(study, store=store, executor=executor, done=step)
        except KeyboardInterrupt:
            kept = f"{trades.kept(study, store):,} of {study.count:,} cases are kept"
            output.complain(f"stopped; {kept}: the same command goes on from there")
            return exit_codes.STOPPED
        return _told(asked, found)


def _told(asked: argparse.Namespace, found: Trades) -> int:
    """Print and write what came out, and return the exit code."""
    from mplan.show.terminal import print_study

    if asked.csv != "-":
        print_study(found, sys.stdout)
    _write(asked, found)
    rows = ((row.outcome.closes, row.outcome.decisions_open) for row in found.rows)
    return exit_codes.of(asked, rows)


def _check(asked: argparse.Namespace) -> None:
    """Refuse arguments out of place before anything is flown."""
    if asked.workers is not None and asked.workers < 1:
        arguments.refuse("--workers", f"found {asked.workers}; accepted: 1 and more")
    arguments.refuse_both(asked)
    if asked.picture is not None and Path(asked.picture).suffix not in PICTURES:
        text = f"found {asked.picture}; accepted: a path that ends in {' or '.join(PICTURES)}"
        arguments.refuse("--picture", text)


def _write(asked: argparse.Namespace, found: Trades) -> None:
    """Write the files that were asked for."""
    from mplan.show import trades

    if asked.csv is not None:
        output.write(asked.csv, trades.csv_text(found))
    if asked.parquet is not None:
        writing.write(asked.parquet, trades.parquet(found))
    if asked.picture is not None:
        from mplan import study_page

        try:
            drawn = study_page.make(found, Path(asked.picture))
        except ValueError as problem:
            output.complain(problem)
            return
        writing.write(asked.picture, drawn)
