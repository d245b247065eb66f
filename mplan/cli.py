"""The commands: new, brief, report, lab, windows, engines, events."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timezone
from pathlib import Path
from typing import TYPE_CHECKING

from mplan import __version__, lettering, writing

if TYPE_CHECKING:  # a command loads no more than it needs
    from datetime import date

    from mplan.plan import Plan
    from mplan.scenario import Scenario
    from mplan.studies.windows import Answer

MOST_DAYS = 366  # of launch windows in one go
PICTURES = (".html", ".png")
CLOSES, DOES_NOT, BAD_INPUT, STOPPED = 0, 1, 2, 130
EXIT_CODES = (
    "Exit codes: 0 the plan closes and leaves nothing to decide (or --accept-decisions), 1 it does "
    "not, 2 bad input, 130 stopped by Ctrl-C."
)

Add = Callable[..., argparse.ArgumentParser]  # as `add_parser` of argparse


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    from mplan.scenario import ScenarioError

    asked = parser().parse_args(arguments)
    try:
        return asked.run(asked)
    except ScenarioError as problems:
        _complain(problems)
        return BAD_INPUT
    except OSError as problem:
        _complain(f"{problem.filename or 'output'}: {problem.strerror or problem}")
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
    whole.add_argument("--version", action="version", version=f"mplan {__version__}")
    commands = whole.add_subparsers(metavar="COMMAND", required=True)
    for add_one in ADD:
        add_one(commands.add_parser)
    return whole


def _add_new(add: Add) -> None:
    text = "lay out a folder to work in: missions, elements, engines, workbooks"
    new = add("new", help=text, description=text)
    new.add_argument("folder", metavar="FOLDER", help="folder to make; one that is there is empty")
    new.set_defaults(run=_new)


def _add_brief(add: Add) -> None:
    text = "one page: does it close, the budget, the timeline, what the checks found"
    brief = add("brief", help=text, description=text, epilog=EXIT_CODES)
    _add_scenario(brief)
    brief.add_argument(
        "--json", metavar="PATH", help="write the plan as JSON instead; - is standard output"
    )
    brief.add_argument(
        "--oem", metavar="PATH", help="write the arcs as a CCSDS OEM instead; - is standard output"
    )
    brief.add_argument(
        "--all", action="store_true", help="print every finding, not one line for those of a kind"
    )
    _add_acceptance(brief)
    brief.set_defaults(run=_brief)


def _add_report(add: Add) -> None:
    text = "execute the workbooks and write a report that opens offline, with its tables and data"
    more = "Where a cell of a workbook fails, 2: it is named, and all else is written."
    report = add("report", help=text, description=text, epilog=f"{EXIT_CODES} {more}")
    _add_scenario(report)
    report.add_argument("--to", metavar="DIR", required=True, help="folder to write into")
    _add_acceptance(report)
    report.set_defaults(run=_report)


def _add_lab(add: Add) -> None:
    text = "open the workbooks in JupyterLab, on this machine only"
    lab = add("lab", help=text, description=text)
    lab.add_argument("scenario", nargs="?", metavar="SCENARIO", help="scenario file to work on")
    lab.add_argument("--folder", metavar="DIR", help="working folder for the workbook copies")
    lab.add_argument("--port", type=int, help="port to serve on")
    lab.add_argument("--no-browser", action="store_true", help="do not open a browser")
    lab.set_defaults(run=_lab)


def _add_windows(add: Add) -> None:
    text = "the launch windows of a span of days, each flown as a whole mission"
    windows = add("windows", help=text, description=text)
    _add_scenario(windows)
    windows.add_argument(
        "--from", dest="first", metavar="DATE", help="first day; the scenario's, if not given"
    )
    windows.add_argument("--days", metavar="N", type=int, default=30, help="30, if not given")
    windows.add_argument("--good", action="store_true", help="keep those whose plans close")
    windows.add_argument(
        "--sort",
        metavar="KEY",
        default="opens",
        help="by opens, margin, sun, ...; opens, if not given",
    )
    windows.add_argument(
        "--json", metavar="PATH", help="write them as JSON instead; - is standard output"
    )
    windows.add_argument(
        "--picture",
        metavar="PATH",
        help="draw them too, and what other days and speeds cost: a page (.html) or a still (.png)",
    )
    _add_acceptance(windows)
    windows.set_defaults(run=_windows)


def _add_engines(add: Add) -> None:
    text = "the engines of the catalogue that fit, each flown as a whole mission"
    engines = add("engines", help=text, description=text, epilog=EXIT_CODES)
    _add_scenario(engines, needed=False)
    engines.add_argument(
        "--catalogue",
        action="store_true",
        help="print the catalogue itself: that beside SCENARIO, if any, else the kit's",
    )
    engines.add_argument(
        "--element", metavar="X", help="trade those of one element; all, if not given"
    )
    engines.add_argument(
        "--json", metavar="PATH", help="write them as JSON instead; - is standard output"
    )
    _add_acceptance(engines)
    engines.set_defaults(run=_engines)


def _add_events(add: Add) -> None:
    text = "print the events of a scenario as TOML, to paste into the file and edit"
    events = add("events", help=text, description=text)
    _add_scenario(events)
    events.set_defaults(run=_events)


def _add_acceptance(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--accept-decisions",
        dest="accepted",
        action="store_true",
        help="exit with 0 too where the plan closes and decisions are open",
    )


def _code(asked: argparse.Namespace, answers: Iterable[tuple[bool | None, int]]) -> int:
    """Return the exit code for plans that may close, each with its count of open decisions."""
    good = any(closes and (asked.accepted or not open_) for closes, open_ in answers)
    return CLOSES if good else DOES_NOT


def _add_scenario(command: argparse.ArgumentParser, *, needed: bool = True) -> None:
    command.add_argument(
        "scenario",
        metavar="SCENARIO",
        nargs=None if needed else "?",
        help="scenario file (TOML), or the name of a mission that comes with the kit",
    )
    command.add_argument(
        "--with",
        dest="changes",
        metavar="KEY=VALUE",
        action="append",
        default=[],
        help="fly it with another value, as TOML has it; text needs no quotes: --with "
        "orbits.parking_altitude='190 km'; KEY= takes the key out",
    )


def _scenario(asked: argparse.Namespace) -> Scenario:
    from mplan import given

    return given.scenario(asked.scenario, asked.changes)


def _new(asked: argparse.Namespace) -> int:
    from mplan import working_folder

    place = Path(asked.folder)
    working_folder.lay_out(place)
    print(f"{place}: missions, elements, engines and workbooks; to begin:")
    print(f"  mplan brief {place / 'scenarios' / 'first_landing.toml'}")
    print(f"  mplan lab --folder {place / 'workbooks'}")
    return 0


def _brief(asked: argparse.Namespace) -> int:
    from mplan.plan import fly

    plan = fly(_scenario(asked), remedies=True)
    if asked.json is not None:
        from mplan.contract import as_json

        _write(asked.json, as_json(plan))
    if asked.oem is not None:
        _write_arcs(plan, asked.oem)
    if asked.json is None and asked.oem is None:
        from mplan.show.terminal import print_brief

        print_brief(plan, sys.stdout, every=asked.all)
    return _code(asked, [(plan.closes, plan.decisions_open)])


def _write_arcs(plan: Plan, path: str) -> None:
    """Write the arcs, or say why there are none; the exit code is that of the plan."""
    from mplan.oem import NoArcs, message

    try:
        _write(path, message(plan, datetime.now(timezone.utc)))
    except NoArcs as reason:
        print(reason, file=sys.stderr)


def _report(asked: argparse.Namespace) -> int:
    from mplan import report
    from mplan.show.terminal import progress

    with progress("report") as step:
        made = report.make(_scenario(asked), Path(asked.to), progress=step)
    print(lettering.terminal(f"{made.plan.verdict}\n{made.page}"))
    if made.failures:
        _complain("\n".join(f"failed: {each}" for each in made.failures))
        return BAD_INPUT
    return _code(asked, [(made.plan.closes, made.plan.decisions_open)])


def _windows(asked: argparse.Namespace) -> int:
    from mplan.scenario import Problem, ScenarioError
    from mplan.show import launch_windows
    from mplan.show.terminal import print_windows, progress
    from mplan.studies import windows

    scenario = _scenario(asked)
    if asked.first is not None:
        scenario = scenario.change("dates.launch_day", asked.first)  # checked like any day
    _check_days(scenario.dates.launch_day, asked.days)
    if asked.sort not in windows.ORDERS:
        text = f"found {asked.sort}; accepted: {', '.join(windows.ORDERS)}"
        raise ScenarioError([Problem("command line", "--sort", text)])
    if asked.picture is not None and Path(asked.picture).suffix not in PICTURES:
        text = f"found {asked.picture}; accepted: a path that ends in {' or '.join(PICTURES)}"
        raise ScenarioError([Problem("command line", "--picture", text)])
    with progress("windows") as step:
        found = windows.scan_windows(scenario, scenario.dates.launch_day, asked.days, done=step)
    found = windows.good(found) if asked.good else found
    told = windows.ordered(found, asked.sort)
    if asked.json is None:
        print_windows(scenario, told, sys.stdout)
    else:
        text = json.dumps(launch_windows.document(scenario, told), indent=2, ensure_ascii=False)
        _write(asked.json, text + "\n")
    if asked.picture is not None:
        _draw(scenario, found, asked.picture)
    flown = windows.chances(found)
    return _code(asked, [(x.plan_closes, x.decisions_open) for x in flown])


def _check_days(first: date, days: int) -> None:
    """Refuse a span of days that is none, too long, or leaves the ephemeris."""
    from mplan.scenario import Problem, ScenarioError
    from mplan.scenario.dates import LAST_DAY

    text = ""
    if not 1 <= days <= MOST_DAYS:
        text = f"found {days}; accepted: from 1 to {MOST_DAYS}"
    elif (most := (LAST_DAY - first).days + 1) < days:
        text = f"found {days}, which from {first} lead out of the ephemeris (DE421); accepted: "
        text += f"up to {most}, the last day being {LAST_DAY}"
    if text:
        raise ScenarioError([Problem("command line", "--days", text)])


def _engines(asked: argparse.Namespace) -> int:
    from mplan.scenario import Problem, ScenarioError
    from mplan.show import engine_trades
    from mplan.show.terminal import print_trades, progress
    from mplan.studies import engines

    if asked.catalogue:
        return _catalogue(asked)
    if asked.scenario is None:
        text = "found none; accepted: a scenario file, or --catalogue"
        raise ScenarioError([Problem("command line", "SCENARIO", text)])
    scenario = _scenario(asked)
    with progress("engines") as step:
        found = engines.scan_engines(scenario, asked.element, done=step)
    if asked.json is None:
        print_trades(scenario, found, sys.stdout)
    else:
        document = engine_trades.document(scenario, found)
        _write(asked.json, json.dumps(document, indent=2, ensure_ascii=False) + "\n")
    return _code(asked, [(x.closes, x.decisions_open) for x in found])


def _catalogue(asked: argparse.Namespace) -> int:
    from mplan import shipped
    from mplan.scenario import catalogue
    from mplan.show.terminal import print_catalogue

    own = Path(asked.scenario).parent if asked.scenario else Path()
    place = shipped.engines(own / "engines")
    print_catalogue(place, catalogue.read(place), sys.stdout)
    return 0


def _draw(scenario: Scenario, found: list[Answer], path: str) -> None:
    from mplan import windows_page

    try:
        drawn = windows_page.make(scenario, found, Path(path))
    except ValueError as problem:
        _complain(problem)
        return
    writing.write(path, drawn)


def _lab(asked: argparse.Namespace) -> int:
    from mplan import given, lab

    return lab.start(
        given.file(asked.scenario) if asked.scenario else None,
        folder=asked.folder,
        port=asked.port,
        browser=not asked.no_browser,
    )


def _events(asked: argparse.Namespace) -> int:
    from mplan.cautions import CAUTIONS

    print(*(f"# {caution}" for caution in CAUTIONS), "", sep="\n")
    print(_scenario(asked).events_as_toml(), end="")
    return 0


def _complain(problem: object) -> None:
    print(lettering.terminal(str(problem)), file=sys.stderr)


def _write(path: str, text: str) -> None:
    """Write text to a file; - is standard output."""
    if path == "-":
        sys.stdout.write(text)
    else:
        writing.write(path, text)


ADD = (_add_new, _add_brief, _add_report, _add_lab, _add_windows, _add_engines, _add_events)

if __name__ == "__main__":
    from mplan.stopping import command

    sys.exit(command())
