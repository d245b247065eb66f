"""`mplan lab`: the workbooks in JupyterLab."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from mplan.commands import arguments


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "open the workbooks in JupyterLab, on this machine only"
    command = add_parser("lab", help=text, description=text)
    command.add_argument("scenario", nargs="?", metavar="SCENARIO", help="scenario file to work on")
    arguments.add_programme(command)
    command.add_argument("--folder", metavar="DIR", help="working folder for the workbook copies")
    command.add_argument("--port", type=int, help="port to serve on")
    command.add_argument("--no-browser", action="store_true", help="do not open a browser")
    command.add_argument("--log", action="store_true", help="show JupyterLab's own log lines")
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Serve them until stopped."""
    from mplan import given, lab

    return lab.start(
        given.file(asked.scenario) if asked.scenario else None,
        programme=given.programme_file(asked.programme) if asked.programme else None,
        folder=asked.folder,
        port=asked.port,
        browser=not asked.no_browser,
        log=asked.log,
    )
