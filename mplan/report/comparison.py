"""The folder about two plans side by side: a page that opens offline, tables and data."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from html import escape
from pathlib import Path

from mplan import writing
from mplan.cautions import CAUTIONS
from mplan.comparing import Comparison
from mplan.report import first_screen
from mplan.report.beside import beside
from mplan.report.cells import Numbers, chart, tables
from mplan.report.chapters import Chapter
from mplan.report.files import write_tables
from mplan.report.page import document
from mplan.show import comparing, notebook

PAGE = "comparison.html"


def write(comparison: Comparison, to: str | os.PathLike[str]) -> Path:
    """Write page, tables and JSON of a comparison into the folder `to`; return the page.

    As with a mission's report, the folder is there whole or not at all.
    """
    target = Path(to).resolve()
    with writing.replacing_folder(target, last=PAGE) as place:
        told = json.dumps(comparing.document(comparison), indent=2, ensure_ascii=False)
        (place / "comparison.json").write_text(f"{told}\n", encoding="utf-8")
        frames = comparing.everything(comparison, every=True)
        named = {f"comparison_{title.lower()}": frame for title, frame in frames.items()}
        write_tables(named, CAUTIONS, place / "tables" / "comparison.xlsx")
        (place / PAGE).write_text(page(comparison, place), encoding="utf-8")
    return target / PAGE


def page(comparison: Comparison, place: Path) -> str:
    """Return the page of two plans, with links to what lies beside it in its folder."""
    plans = (comparison.a, comparison.b)
    names = dict.fromkeys(plan.scenario.mission.name for plan in plans)
    said = (f"<p>{escape(line)}</p>" for line in comparing.told(comparison, folders=False))
    opening = f'<div class="said"><div>{"".join(said)}</div>{first_screen.cautions(CAUTIONS)}</div>'
    chapters = list(_chapters(comparison, Numbers()))
    kind = "two plans compared"
    return document(" beside ".join(names), kind, opening, chapters, links=list(beside(place)))


def _chapters(comparison: Comparison, numbers: Numbers) -> Iterator[Chapter]:
    """Yield what differs, kind by kind, all rows folded away, and where the numbers come from."""
    picture, _ = comparing.margins(comparison)._repr_mimebundle_()
    yield Chapter("margins", "Margins", "", chart(picture, numbers))
    every = comparing.everything(comparison, every=True)
    shown = comparing.everything(comparison)
    for title, frame in {"Findings": shown["Findings"], **shown}.items():
        body = tables(notebook.Table(frame, "Nothing differs.").html, title, numbers)
        if len(every[title]) > len(frame):
            whole = tables(notebook.Table(every[title]).html, title, numbers)
            said = f"all {len(every[title])}, those that are the same too"
            body += f"<details><summary>{said}</summary>{whole}</details>"
        yield Chapter(title.lower(), title, "", body)
    for name, plan in (("A", comparison.a), ("B", comparison.b)):
        body = notebook.made_from(plan).html
        yield Chapter(f"origin-{name}", f"Where the numbers of {name} come from", "", body)
