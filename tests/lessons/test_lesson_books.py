"""The lessons as notebooks: kept clean, thin, executed as they are and with every answer given."""

from __future__ import annotations

import ast
import re
from itertools import pairwise
from pathlib import Path

import nbformat
import pytest

from mplan import kernel, workbooks
from mplan.lessons.answers import Verdict

FOLDER = workbooks.folder()
BOOKS = workbooks.lessons(FOLDER)
LESSONS = [path for path in BOOKS if path.stem[0].isdigit()]
QUESTIONS = {"1_leaving_for_the_moon": 5, "2_top_and_bottom": 5, "3_close_this_stack": 1}
LONGEST = 12  # lines of a code cell; formulas take six at most
HEAVIEST = 300_000  # bytes of an executed lesson

# What a learner could write in place of the dots, by cell.
ANSWERS = {
    "answer-circle": "sqrt(c.MU_EARTH / (c.R_EARTH + 400e3))",
    "answer-distance": "2 / (2 / r - (on_circle + 3000) ** 2 / c.MU_EARTH) - r",
    "answer-time": "pi * sqrt(((r + 42164e3) / 2) ** 3 / c.MU_EARTH)",
    "answer-month": (
        "sqrt(c.MU_EARTH * (2 / r - 2 / (r + 405.5e6)))"
        " - sqrt(c.MU_EARTH * (2 / r - 2 / (r + 363.3e6)))"
    ),
    "answer-turn": "2 * on_circle * sin(radians(10) / 2)",
    "answer-propellant": "110e3 * (1 - exp(-3150 / (c.G0 * 450)))",
    "answer-lift-off": "(1.28 - 1) * c.G0",
    "answer-burn-time": "7.2e3 * c.G0 * 358 / 50e3",
    "answer-payload": "((exp(-4650 / (c.G0 * 350)) - 0.08) / 0.92) ** 2",
    # Read off the table as it is printed.
    "answer-growth": "exp(3192 / (463 * c.G0)) * exp((10 + 854 + 41) / (318 * c.G0))"
    " * exp((21 + 2061) / (358 * c.G0))",
    "answer-more": "(lambda x: x.mass * (exp(-x.margin / (462.6 * c.G0)) - 1))(plan.burns[2])",
}

each_book = pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
each_lesson = pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)


def test_there_are_three_and_a_glossary():
    assert [path.stem for path in BOOKS] == [*QUESTIONS, "glossary"]


@each_book
def test_kept_without_outputs(path):
    """A lesson is kept clean: no output, no count, no widget state, stable names of cells."""
    book = nbformat.read(path, as_version=nbformat.NO_CONVERT)
    nbformat.validate(book)
    assert book.metadata.kernelspec.name == "python3"
    assert "widgets" not in book.metadata
    for cell in book.cells:
        assert not cell.get("outputs")
        assert cell.get("execution_count") is None
        assert cell.id.replace("-", "").isalpha()


@each_lesson
def test_thin(path):
    """Prose before each code cell, few lines in it, and no logic."""
    cells = workbooks.read(path).cells
    assert all(pair != ("code", "code") for pair in pairwise(x.cell_type for x in cells))
    for cell in cells:
        if cell.cell_type == "code":
            assert len(cell.source.splitlines()) <= LONGEST
            logic = (ast.FunctionDef, ast.For, ast.While, ast.Try, ast.ClassDef, ast.Lambda)
            assert not [x for x in ast.walk(ast.parse(cell.source)) if isinstance(x, logic)]


@each_lesson
def test_each_idea_has_a_formula_a_picture_and_a_question(path):
    """As many questions as told, each asked in prose just before it; a source beside formulas."""
    cells = workbooks.read(path).cells
    asked = [i for i, x in enumerate(cells) if x.id.startswith("answer-")]
    assert len(asked) == QUESTIONS[path.stem]
    assert all("**Question" in cells[i - 1].source for i in asked)
    assert all("answer = ..." in cells[i].source for i in asked)
    assert sum(x.id.endswith("panel") and x.cell_type == "code" for x in cells) >= len(asked)
    formulas = [x.source for x in cells if "$$" in x.source]
    assert all(re.search(r"\b(19|20)\d\d\b", text) for text in formulas), "a year of a source"


@each_lesson
def test_names_a_file_that_is_there(path):
    assert workbooks.named(path).is_file()


@each_lesson
def test_executes_as_it_is(path, tmp_path):
    """Every cell runs before anything is answered; pictures stay for readers without a kernel."""
    book = workbooks.read(path)
    workbooks.set_path(book, book, workbooks.named(path).resolve().as_posix())
    assert kernel.execute_all({"lesson": book}, tmp_path) == {"lesson": ()}
    outputs = [x for cell in book.cells if cell.cell_type == "code" for x in cell.outputs]
    assert not [x for x in outputs if x.output_type in ("error", "stream")]
    said = {x.id: x.outputs[0].data["text/plain"] for x in book.cells if x.id in ANSWERS}
    assert len(said) == QUESTIONS[path.stem]
    assert all("Not answered yet" in text for text in said.values())
    assert len(nbformat.writes(book)) < HEAVIEST


@each_lesson
def test_answers_are_right(path, monkeypatch):
    """With an answer written into each question, every one is right."""
    monkeypatch.chdir(path.parent)
    names: dict = {}
    judged = {}
    for cell in workbooks.read(path).cells:
        if cell.cell_type != "code" or cell.id.endswith(("panel", "attempt", "flown")):
            continue
        body = ast.parse(cell.source.replace("...", ANSWERS.get(cell.id, ""))).body
        last = body.pop() if isinstance(body[-1], ast.Expr) else None
        exec(compile(ast.Module(body, []), cell.id, "exec"), names)
        if last is not None:
            judged[cell.id] = eval(compile(ast.Expression(last.value), cell.id, "eval"), names)
    verdicts = {name: x for name, x in judged.items() if isinstance(x, Verdict)}
    assert set(verdicts) == {x for x in ANSWERS if x in judged}
    assert [(name, x.text) for name, x in verdicts.items() if not x.right] == []


@pytest.mark.parametrize("path", [*workbooks.all_in(FOLDER), *LESSONS], ids=lambda path: path.stem)
def test_the_glossary_is_one_click_away(path):
    """The first cell of every workbook links it, and no link of any cell leads nowhere."""
    cells = workbooks.read(path).cells
    assert "[glossary](" in cells[0].source
    links = re.findall(r"\]\(([^)]+)\)", "\n".join(x.source for x in cells))
    assert [x for x in links if not (path.parent / x).exists()] == []


def test_the_glossary_has_every_symbol_of_the_lessons():
    """Each letter that stands in a displayed formula of a lesson is in the glossary."""
    known = (Path(FOLDER) / "lessons" / "glossary.ipynb").read_text("utf-8")
    for name in (r"\\mu", r"\\Delta v", r"\\theta", r"\\varepsilon", r"\\pi", "v_e", "g_0", "T/W"):
        assert name in known
    tables = [x.source for x in workbooks.read(BOOKS[-1]).cells if "|" in x.source]
    rows = [x for table in tables for x in table.splitlines()[2:] if x.startswith("|")]
    rows = [x for x in rows if not x.startswith(("| term", "|:--"))]
    assert len(rows) > 50
    assert all(x.count("|") == 5 and x.split("|")[4].strip() for x in rows)
