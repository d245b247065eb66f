"""`mplan cards`: the readiness sheet, and a card for each burn and event, to print."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from mplan import lettering
from mplan.commands import arguments, exit_codes, output

if TYPE_CHECKING:
    from mplan.plan import Plan
    from mplan.studies.cards import EventCard
    from mplan.studies.odds import Odds

PAGE = "cards.html"


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "a readiness sheet, and a card for each burn and event: attitude, limits, ways out"
    more = f"{text}; as a page to print, two cards a sheet or one"
    epilog = f"{exit_codes.EXIT_CODES} Ctrl-C: the cards made so far are written, 130."
    command = add_parser("cards", help=text, description=more, epilog=epilog)
    arguments.add_scenario(command)
    command.add_argument("--to", metavar="DIR", required=True, help="folder to write into")
    drawn = "missions drawn and flown for the limits of margins; none if not given"
    command.add_argument("--missions", metavar="N", type=int, help=drawn)
    arguments.add_printing(command)
    exit_codes.add_acceptance(command)
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Make the cards, and write the page whole or not at all."""
    from mplan import report
    from mplan.glancing import glanced
    from mplan.physics import compiling
    from mplan.plan import fly

    if asked.missions is not None and asked.missions < 1:
        arguments.refuse("--missions", f"found {asked.missions}; accepted: 1 or more")
    compiling.load_kept()
    plan = glanced(fly(arguments.scenario(asked)))
    odds = _odds(plan, asked.missions)
    made, whole = _made(plan, odds)
    try:
        page = _written(asked, plan, made, whole)
    except report.NoPdf as problem:
        output.complain(problem)
        return exit_codes.BAD_INPUT
    print(lettering.terminal("\n".join([plan.verdict, str(page)])))
    if len(made) < whole:
        output.complain(f"stopped; {len(made)} of {whole} cards are written")
        return exit_codes.STOPPED
    return exit_codes.of(asked, [(plan.closes, plan.decisions_open)])


def _odds(plan: Plan, missions: int | None) -> Odds | None:
    """Return the odds that were asked for."""
    if missions is None:
        return None
    from mplan.show.terminal import progress
    from mplan.studies import odds

    with progress("missions") as step:
        return odds.of(plan, missions, done=step)


def _made(plan: Plan, odds: Odds | None) -> tuple[list[EventCard], int]:
    """Return the cards, as many as were made before Ctrl-C, and how many there would be."""
    from mplan.show.terminal import progress
    from mplan.studies import cards

    made: list[EventCard] = []
    with progress("cards") as step:
        try:
            for card in cards.of(plan, odds, done=step):
                made.append(card)
        except KeyboardInterrupt:
            pass
    return made, cards.count(plan)


def _written(asked: argparse.Namespace, plan: Plan, made: list[EventCard], whole: int) -> Path:
    """Write the page, and its PDF where that was asked for; return where the page is."""
    from mplan import report, writing
    from mplan.show import readiness

    place = Path(asked.to)
    with writing.replacing_folder(place, PAGE) as beside:
        page = beside / PAGE
        page.write_text(readiness.page(plan, made, whole=whole), encoding="utf-8")
        if asked.pdf:
            report.print_page(page, page.with_suffix(".pdf"), asked.paper)
    return place / PAGE
