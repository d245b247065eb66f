"""What lies beside a page in its folder, as links for the reader."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from pathlib import Path
from typing import NamedTuple

KINDS = {
    "plan.json": "the plan as data, for programs",
    "calendar.json": "the calendar as data, for programs",
    "calendar.ics": "the dates, for the calendar that you keep",
    "trajectory.oem": "the flight path, for programs of flight dynamics (CCSDS OEM)",
    ".xlsx": "all tables as a spreadsheet",
    ".csv": "a table",
    ".txt": "what the numbers are not for",
    ".ipynb": "a workbook, for JupyterLab with mplan installed",
}


class PageLink(NamedTuple):
    """A file that lies beside a page, and what is said of it there."""

    to: str
    says: str

    @property
    def html(self) -> str:
        """The link."""
        return f'<a href="{escape(self.to)}">{escape(self.says)}</a>'


def beside(place: Path) -> Iterator[PageLink]:
    """Yield a link to each file in a folder but pages, the data before tables and workbooks."""
    order = list(KINDS)
    found = [(kind, path) for path in place.rglob("*") if path.is_file() and (kind := _kind(path))]
    for kind, path in sorted(found, key=lambda x: (order.index(x[0]), x[1])):
        name = path.relative_to(place).as_posix()
        yield PageLink(name, f"{name}: {KINDS[kind]}")


def _kind(path: Path) -> str:
    return next((x for x in (path.name, path.suffix) if x in KINDS), "")
