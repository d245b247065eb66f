"""`mplan new`: a folder to work in."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path


def add(add_parser: Callable[..., argparse.ArgumentParser]) -> None:
    """Add its arguments."""
    text = "lay out a folder to work in: missions, elements, engines, workbooks"
    command = add_parser("new", help=text, description=text)
    command.add_argument(
        "folder", metavar="FOLDER", help="folder to make; one that is there is empty"
    )
    command.set_defaults(run=run)


def run(asked: argparse.Namespace) -> int:
    """Lay it out, and say how to begin."""
    from mplan import working_folder

    place = Path(asked.folder)
    working_folder.lay_out(place)
    print(f"{place}: missions, elements, engines and workbooks; to begin:")
    print(f"  mplan brief {place / 'scenarios' / 'first_landing.toml'}")
    print(f"  mplan lab --folder {place / 'workbooks'}")
    return 0
