"""Executed workbooks as chapters: one a question, opened by its answer, their code folded away.

The tags of cells say what goes where. `chapter-NAME` begins the chapter of that question; what
stands before the first of them gets a chapter of its own, titled as the workbook is.
`not-in-report` is for who runs the workbook. `study` is there where studies were asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Any, NamedTuple

from nbformat import NotebookNode

from mplan.kernel import failed_cells
from mplan.report import cells
from mplan.report.cells import Numbers, Prose

CHAPTER = "chapter-"
LEFT_OUT = "not-in-report"
STUDY = "study"
CODE = "The code behind this chapter"
HOW = "<code>mplan report --studies</code> adds them."


def _never(about: object) -> str:
    return ""


@dataclass(frozen=True)
class ChapterQuestion:
    """A question that a chapter answers, by the `name` that tags and links have for it.

    `answer` takes what the page is about and returns a sentence, or "" where the question does not
    arise. `ended` tells why what would answer it was not flown, "" where it was. With `titled`
    each workbook's part stands under the workbook's title.
    """

    name: str
    words: str
    answer: Callable[[Any], str]
    ended: Callable[[Any], str] = _never
    titled: bool = False


@dataclass(frozen=True)
class Chapter:
    """A chapter of a page: its place in links, its question, a sentence of answer, and its HTML."""

    name: str
    question: str
    answer: str
    body: str

    @property
    def html(self) -> str:
        """The chapter as a section of the page."""
        said = f'<p class="answer">{escape(self.answer)}</p>' if self.answer else ""
        return (
            f'<section class="chapter" id="{self.name}" aria-labelledby="{self.name}-title">'
            f'<h2 id="{self.name}-title">{escape(self.question)}</h2>{said}\n{self.body}</section>'
        )


class _Cell(NamedTuple):
    """A cell, and what failed in it."""

    node: NotebookNode
    failed: str

    def tagged(self, tag: str) -> bool:
        return tag in self.node.metadata.get("tags", ())


@dataclass
class _Part:
    """What one workbook gives to one chapter."""

    chapter: str
    title: str  # of the workbook
    cells: list[_Cell] = field(default_factory=list)


def of(
    books: Mapping[str, NotebookNode],
    questions: Sequence[ChapterQuestion],
    about: object,
    numbers: Numbers,
    *,
    studies: bool = False,
) -> list[Chapter]:
    """Return the chapters that workbooks give, in the order of the questions.

    `about` is what the answers are about. Chapters of no question come first.
    """
    parts = [part for name, book in books.items() for part in _parts(name, book)]
    known = {each.name for each in questions}
    found = []
    for place, part in enumerate((x for x in parts if x.chapter not in known), 1):
        body = _body([part], numbers, studies=studies)
        found.append(Chapter(f"part-{place}", part.title, "", "\n".join(body)))
    for question in questions:
        own = [part for part in parts if part.chapter == question.name]
        answered = _asked(question, about, own, numbers, studies=studies) if own else None
        found += [answered] if answered else []
    return found


def _asked(
    question: ChapterQuestion,
    about: object,
    parts: list[_Part],
    numbers: Numbers,
    *,
    studies: bool,
) -> Chapter | None:
    """Return the chapter of a question, None where it does not arise.

    Where nothing was flown for it, that is why, and what failed.
    """
    ended = question.ended(about)
    answer = ended or question.answer(about)
    if not answer:
        return None
    if ended:
        for part in parts:
            part.cells = [cell for cell in part.cells if cell.failed]
    body = _body(parts, numbers, titled=question.titled, studies=studies)
    return Chapter(question.name, question.words, answer, "\n".join(body))


def _parts(name: str, book: NotebookNode) -> Iterator[_Part]:
    """Yield what a workbook has for chapters, in its order; what failed is never left out."""
    title = (cells.heading(book.cells[0].source) if book.cells else "") or name
    failed = {each.name: f"{name}, {each}" for each in failed_cells(book)}
    part = _Part("", title)
    for node in _below_title(book):
        cell = _Cell(node, failed.get(node.id, ""))
        begun = [tag for tag in node.metadata.get("tags", ()) if tag.startswith(CHAPTER)]
        if begun:
            yield from [part] if part.cells else []
            part = _Part(begun[0].removeprefix(CHAPTER), title)
        if cell.failed or not cell.tagged(LEFT_OUT):
            part.cells.append(cell)
    yield from [part] if part.cells else []


def _below_title(book: NotebookNode) -> Iterator[NotebookNode]:
    """Yield the cells of a workbook, the first one without the title that it begins with."""
    for place, node in enumerate(book.cells):
        if place == 0 and cells.heading(node.source):
            yield NotebookNode(node, source=node.source.strip().partition("\n")[2])
        else:
            yield node


def _body(
    parts: Sequence[_Part], numbers: Numbers, *, titled: bool = False, studies: bool = False
) -> Iterator[str]:
    left_out: list[str] = []
    prose = Prose(2, 1)
    for part in parts:
        if titled and part.cells:
            yield f"<h3>{escape(part.title)}</h3>"
            prose = Prose(3, 2)
        shown = [cell for cell in part.cells if studies or not cell.tagged(STUDY)]
        yield from _shown(shown, part.title, prose, numbers)
        left_out += [x.node.source for x in part.cells if x not in shown]
    titles = list(filter(None, map(cells.heading, left_out)))
    if titles:
        yield f"<p>Not in this report: {escape('; '.join(titles))}. {HOW}</p>"
    code = [x.node.source for part in parts for x in part.cells if _is_shown_code(x, studies)]
    if code:
        lines = escape("\n\n".join(code))
        yield f'<details class="code"><summary>{CODE}</summary><pre>{lines}</pre></details>'


def _is_shown_code(cell: _Cell, studies: bool) -> bool:
    return cell.node.cell_type == "code" and (studies or not cell.tagged(STUDY))


def _shown(shown: Sequence[_Cell], about: str, prose: Prose, numbers: Numbers) -> Iterator[str]:
    """Yield prose and outputs, which are `about` what the last heading says, once there is one."""
    for cell in shown:
        if cell.node.cell_type == "markdown":
            about = cells.heading(cell.node.source) or about
            yield prose.html(cell.node.source)
        elif cell.node.cell_type == "code":
            yield from cells.outputs(cell.node, about, numbers)
            if cell.failed:
                yield cells.failure(cell.failed)
