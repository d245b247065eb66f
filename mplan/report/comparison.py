"""The folder about two plans side by side: a page that opens offline, tables and data."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

from mplan import writing
from mplan.cautions import CAUTIONS
from mplan.comparing import Comparison
from mplan.report import comparison_screen, pdf
from mplan.report.beside import beside
from mplan.report.cells import Numbers, tables
from mplan.report.chapters import Chapter
from mplan.report.files import write_tables
from mplan.report.page import document
from mplan.report.pdf import Paper
from mplan.show import comparing, notebook

PAGE = "comparison.html"
QUESTIONS = {
    "Keys": "What differs in the two files?",
    "Figures": "What does that do to the mission?",
    "Findings": "Which findings are lost, gained or changed?",
    "Burns": "What does each burn require, and what is left?",
    "Masses": "What do the elements weigh, and what do they hold?",
    "Limits": "How near do both come to their limits?",
    "Dates": "When do both leave, land and come back?",
    "Events": "What happens when, side by side?",
}


def write(comparison: Comparison, to: str | os.PathLike[str], paper: Paper | None = None) -> Path:
    """Write page, tables and JSON of a comparison into the folder `to`; return the page.

    As with a mission's report, the folder is there whole or not at all. With a `paper` the page is
    printed to a PDF too; raises NoPdf where that does not work.
    """
    target = Path(to).resolve()
    with writing.replacing_folder(target, last=PAGE) as place:
        told = json.dumps(comparing.document(comparison), indent=2, ensure_ascii=False)
        (place / "comparison.json").write_text(f"{told}\n", encoding="utf-8")
        frames = comparing.everything(comparison, every=True)
        named = {f"comparison_{title.lower()}": frame for title, frame in frames.items()}
        write_tables(named, CAUTIONS, place / "tables" / "comparison.xlsx")
        (place / PAGE).write_text(page(comparison, place), encoding="utf-8")
        if paper is not None:
            pdf.write(place / PAGE, (place / PAGE).with_suffix(".pdf"), paper)
    return target / PAGE


def page(comparison: Comparison, place: Path) -> str:
    """Return the page of two plans, with links to what lies beside it in its folder."""
    numbers = Numbers()
    plans = (comparison.a, comparison.b)
    names = dict.fromkeys(plan.scenario.mission.name for plan in plans)
    opening = comparison_screen.of(comparison, numbers)
    chapters = list(_chapters(comparison, numbers))
    kind = "two plans compared"
    return document(" beside ".join(names), kind, opening, chapters, links=list(beside(place)))


def _chapters(comparison: Comparison, numbers: Numbers) -> Iterator[Chapter]:
    """Yield what differs, a question each, all rows folded away, and where numbers come from."""
    every = comparing.everything(comparison, every=True)
    shown = comparing.everything(comparison)
    for title, question in QUESTIONS.items():
        frame = shown[title]
        body = tables(
            notebook.Table(frame, "Nothing differs.").html, f"{title} that differ", numbers
        )
        if len(every[title]) > len(frame):
            whole = tables(notebook.Table(every[title]).html, f"All {title.lower()}", numbers)
            said = f"All {len(every[title])}, those that are the same too"
            body += f"<details><summary>{said}</summary>{whole}</details>"
        yield Chapter(title.lower(), question, _answer(title, len(frame), len(every[title])), body)
    origins = (("A", comparison.a), ("B", comparison.b))
    body = "".join(f"<h3>{x}</h3>{notebook.made_from(plan).html}" for x, plan in origins)
    yield Chapter(
        "origin", "What were these numbers made with?", "", f'<div class="wide">{body}</div>'
    )


def _answer(title: str, differing: int, all_of_them: int) -> str:
    """Return how many rows differ, in a sentence."""
    if title == "Keys":
        return f"{differing or 'No'} {'key differs' if differing == 1 else 'keys differ'}."
    return f"{differing or 'None'} of {all_of_them} {'differs' if differing == 1 else 'differ'}."
