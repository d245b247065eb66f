"""The part of a report about a programme: its page, workbook, tables, JSON and iCalendar."""

from __future__ import annotations

import json
from datetime import datetime, timezone
from pathlib import Path

from mplan import workbooks
from mplan.cautions import CAUTIONS
from mplan.programme import Calendar
from mplan.report.beside import PageLink, beside
from mplan.report.files import Progress, execute, write_tables
from mplan.report.page import programme_page
from mplan.show import programme
from mplan.show.programme.readings import NO_COMMITMENT

PAGE = "programme.html"


def write(
    calendar: Calendar, place: Path, progress: Progress, link: PageLink | None = None
) -> tuple[str, ...]:
    """Write everything about a programme into a folder; return what failed, a line each."""
    sources = workbooks.of_a_programme(workbooks.all_in(workbooks.folder()))
    books = {source.stem: workbooks.read(source) for source in sources}
    file = workbooks.path_from(place, calendar.programme.source)
    for book in books.values():
        workbooks.set_programme(book, file)
    failures = execute(books, place, progress)
    told = json.dumps(programme.document(calendar), indent=2, ensure_ascii=False)
    (place / "calendar.json").write_text(f"{told}\n", encoding="utf-8")
    kept = programme.icalendar_text(calendar, datetime.now(timezone.utc))
    (place / "calendar.ics").write_bytes(kept.encode("utf-8"))
    _write_tables(calendar, place / "tables" / "programme.xlsx")
    links = [*([link] if link else []), *beside(place)]
    page = programme_page(calendar, books, failures, links)
    (place / PAGE).write_text(page, encoding="utf-8")
    return tuple(failures)


def _write_tables(calendar: Calendar, book: Path) -> None:
    tables = {
        "flights": programme.launches,
        "critical_path": programme.critical_path,
        "all_work": programme.work,
        "windows": programme.windows,
        "clashes": programme.remedies,
        "cost_by_year": programme.money,
    }
    frames = {f"programme_{name}": table(calendar).frame for name, table in tables.items()}
    write_tables(frames, [NO_COMMITMENT, *CAUTIONS], book)
