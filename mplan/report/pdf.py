"""A report's page as a PDF, printed by a Chromium that is installed, without a network."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Literal, get_args

Paper = Literal["A4", "letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)

BROWSER = "MPLAN_BROWSER"  # environment variable that names the browser to print with
NAMES = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "msedge",
)
PLACES = (  # where installers put it beside the path
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
    "C:/Program Files/Google/Chrome/Application/chrome.exe",
    "C:/Program Files (x86)/Google/Chrome/Application/chrome.exe",
    "C:/Program Files (x86)/Microsoft/Edge/Application/msedge.exe",
)
QUIET = (
    *("--headless", "--disable-gpu", "--no-first-run", "--no-default-browser-check"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
    *("--disable-quic", "--host-resolver-rules=MAP * ~NOTFOUND", "--no-pdf-header-footer"),
)
LONGEST = 300  # s to print


class NoPdf(RuntimeError):
    """No PDF came about; the text says why and what to do."""


def browser() -> str:
    """Return the program to print with: that of MPLAN_BROWSER, else the first one found.

    Raises NoPdf where there is none.
    """
    named = os.environ.get(BROWSER)
    sought = [named] if named else [*NAMES, *PLACES]
    found = next(filter(None, map(shutil.which, sought)), None)
    if found is None:
        what = f"{named} is not there" if named else "no Chromium, Chrome or Edge was found"
        text = f"{what}; accepted: one that is installed, or its path in {BROWSER}"
        raise NoPdf(f"PDF: {text}; the page prints from any browser too")
    return found


def write(page: Path, to: Path, paper: Paper = "A4") -> None:
    """Print a page to a PDF on the paper; raises NoPdf where that does not work."""
    program = browser()
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / page.name
        sized = f"<style>@page {{ size: {paper}; }} @page broad {{ size: {paper} landscape; }}"
        sized += "</style></head>"
        copy.write_text(page.read_text("utf-8").replace("</head>", sized, 1), encoding="utf-8")
        command = [program, *QUIET, *_as_root(), f"--user-data-dir={folder}/profile"]
        command += [f"--print-to-pdf={to}", copy.as_uri()]
        try:
            run = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST)
        except (OSError, subprocess.TimeoutExpired) as problem:
            raise NoPdf(f"PDF: {program} did not print: {problem}") from problem
    if run.returncode or not to.exists():
        last = next(reversed(run.stderr.strip().splitlines()), "it said nothing")
        raise NoPdf(f"PDF: {program} did not print: {last}")


def beside(pages: Iterable[Path], paper: Paper) -> Iterator[str]:
    """Print each page to a PDF of its name in its folder; yield what did not work, a line each."""
    for page in pages:
        try:
            write(page, page.with_suffix(".pdf"), paper)
        except NoPdf as problem:
            yield str(problem)


def _as_root() -> list[str]:
    """Return what a browser asks for where root starts it: its sandbox is for other users."""
    return ["--no-sandbox"] if getattr(os, "geteuid", lambda: 1)() == 0 else []
