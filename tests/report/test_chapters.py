"""Workbooks as chapters: what the tags of cells do, what is answered, what is left out."""

from __future__ import annotations

import re

import nbformat
import pytest

from mplan import workbooks
from mplan.report import chapters, programme_questions, questions
from mplan.report.cells import Numbers
from mplan.report.chapters import ChapterQuestion


def prose(text, *tags):
    return nbformat.v4.new_markdown_cell(text, metadata={"tags": list(tags)})


def code(source, shown="", *tags, failed=""):
    """Return a code cell with what it shows as HTML, or with what failed in it."""
    outputs = [nbformat.v4.new_output("display_data", {"text/html": shown})] if shown else []
    if failed:
        outputs = [nbformat.v4.new_output("error", ename="KeyError", evalue=failed, traceback=[])]
    return nbformat.v4.new_code_cell(source, outputs=outputs, metadata={"tags": list(tags)})


def book(*cells):
    return nbformat.v4.new_notebook(cells=list(cells))


FIRST = ChapterQuestion("first", "First?", lambda about: f"Of {about}.")
SECOND = ChapterQuestion("second", "Second?", lambda _: "Yes.")


def made(*cells, asked=(FIRST, SECOND), **more):
    return chapters.of({"a": book(*cells)}, asked, "this", Numbers(), **more)


def test_chapters_come_in_the_order_of_the_questions():
    """Not in that of the cells; each opens with its answer."""
    cells = [
        prose("# T", "not-in-report"),
        prose("b", "chapter-second"),
        prose("a", "chapter-first"),
    ]
    one, two = made(*cells)
    assert (one.name, one.answer, two.name, two.answer) == ("first", "Of this.", "second", "Yes.")
    assert "<p>a</p>" in one.html
    assert one.html.index("Of this.") < one.html.index("<p>a</p>")


def test_parts_of_one_question_are_put_together():
    """Two workbooks give one chapter; where titles are asked for, each under its own."""
    books = {
        x: book(prose(f"# Book {x}", "not-in-report"), prose(x, "chapter-first")) for x in "ab"
    }
    (plain,) = chapters.of(books, [FIRST], "this", Numbers())
    assert "Book a" not in plain.body
    titled = ChapterQuestion("first", "First?", lambda _: "Yes.", titled=True)
    (chapter,) = chapters.of(books, [titled], "this", Numbers())
    assert re.findall(r"<h3>(.*?)</h3>", chapter.body) == ["Book a", "Book b"]


def test_what_is_for_who_runs_it_is_left_out():
    """Prose and code alike; but a failure there is told."""
    (chapter,) = made(
        *(prose("a", "chapter-first"), prose("Move a slider", "not-in-report")),
        *(code("panel()", "", "not-in-report"), code("fly()", "", "not-in-report", failed="x")),
    )
    assert "slider" not in chapter.body
    assert "panel()" not in chapter.body
    assert "a, cell 2 " in chapter.body
    assert "KeyError: x" in chapter.body


def test_code_is_folded_away_once():
    (chapter,) = made(prose("a", "chapter-first"), code("one()", "<b>1</b>"), code("two()"))
    assert chapter.body.count("<details") == 1
    assert "one()\n\ntwo()" in chapter.body


def test_studies_are_there_when_asked_for():
    """Else their titles are told, and how to have them."""
    cells = [
        prose("a", "chapter-first"),
        prose("## Odds", "study"),
        code("odds()", "<b>9</b>", "study"),
    ]
    (without,) = made(*cells)
    assert "Not in this report: Odds." in without.body
    assert "odds()" not in without.body
    (with_them,) = made(*cells, studies=True)
    assert "<b>9</b>" in with_them.body
    assert "Not in this report" not in with_them.body


def test_what_was_not_flown_is_told_in_its_place():
    """The answer is not asked, as it would read what is not there."""

    def never(_):
        raise AssertionError

    asked = ChapterQuestion("first", "First?", never, lambda _: "Not shown: it fell.")
    (chapter,) = made(prose("a", "chapter-first"), code("x", "<b>1</b>"), asked=[asked])
    assert chapter.answer == "Not shown: it fell."
    assert "<b>1</b>" not in chapter.body


def test_a_question_that_does_not_arise_has_no_chapter():
    asked = ChapterQuestion("first", "First?", lambda _: "")
    assert made(prose("a", "chapter-first"), asked=[asked]) == []


def test_a_workbook_of_ones_own_has_a_chapter_under_its_title():
    """Its title stands there once."""
    (chapter,) = made(prose("# My own\n\nWords."), code("x", "<b>1</b>"))
    assert chapter.question == "My own"
    assert chapter.html.count("My own") == 1
    assert "<b>1</b>" in chapter.body


def test_tables_are_numbered_and_titled_by_their_section():
    """Headings of columns and rows are told apart."""
    table = "<table><thead><tr><th>x</th></tr></thead><tbody><tr><th>y</th></tr></tbody></table>"
    cells = [prose("## Loads", "chapter-first"), code("a", table), prose("again"), code("b", table)]
    (chapter,) = made(*cells)
    assert re.findall(r"<caption>(.*?)</caption>", chapter.body) == [
        *("Table 1. Loads", "Table 2. Loads"),
    ]
    assert chapter.body.count('<th scope="col">x') == 2
    assert chapter.body.count('<th scope="row">y') == 2


@pytest.mark.parametrize("path", workbooks.all_in(workbooks.folder()), ids=lambda path: path.stem)
def test_the_tags_of_workbooks_are_known(path):
    """Each that begins a chapter names a question of its kind of report."""
    if path.name.startswith(workbooks.LESSON):
        pytest.skip("the lesson is in no report")
    kind = {"SCENARIO": questions, "PROGRAMME": programme_questions}[workbooks.subject(path)]
    known = {f"chapter-{each.name}" for each in kind.QUESTIONS}
    tags = [tag for cell in workbooks.read(path).cells for tag in cell.metadata.get("tags", ())]
    assert set(tags) <= known | {"parameters", "not-in-report", "study"}
    assert known & set(tags)
