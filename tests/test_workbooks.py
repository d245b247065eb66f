"""Workbooks: thin, kept without outputs, and they run on more than one scenario."""

from __future__ import annotations

import ast
from itertools import pairwise
from pathlib import Path

import nbformat
import pytest

from mplan import kernel, workbooks
from mplan.scenario import ScenarioError
from mplan.show.drawn.figure import PLOTLY

SCENARIOS = Path(__file__).parent.parent / "scenarios"
BOOKS = workbooks.all_in(workbooks.folder())
CHARTS = {
    "00_four_burns": 0,
    "01_whole_mission": 4,
    "02_translunar": 5,
    "03_homeward": 4,
    "04_the_stack": 1,
    "05_the_climb": 8,
    "06_at_the_moon": 9,
    "07_entry": 5,
    "08_the_programme": 3,
    "09_what_to_change": 6,
    "10_crew_and_ways_out": 6,
    "11_ready_to_launch": 1,
}
PROGRAMME = SCENARIOS / "programmes" / "cornice.toml"
LONGEST = 12  # lines of a code cell
HEAVIEST = 350_000  # bytes of an executed workbook: small enough for mail and for version control

each_book = pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)


def test_there_are_workbooks():
    assert [path.stem for path in BOOKS] == list(CHARTS)


def test_the_lesson_is_not_about_the_scenario():
    """Reports leave workbook 00 out, and the lab opens on the one after it."""
    names = [path.stem for path in workbooks.of_a_mission(BOOKS)]
    assert names == [name for name in CHARTS if name[:2] not in ("00", "08")]


def test_one_is_about_a_programme():
    assert [path.stem for path in workbooks.of_a_programme(BOOKS)] == ["08_the_programme"]


@each_book
def test_kept_without_outputs(path):
    """A workbook is kept clean: no output, no count, no widget state, stable names of cells."""
    book = nbformat.read(path, as_version=nbformat.NO_CONVERT)
    nbformat.validate(book)
    assert (book.nbformat, book.nbformat_minor) == (4, 5)
    assert book.metadata.kernelspec.name == "python3"
    assert "widgets" not in book.metadata
    for cell in book.cells:
        assert not cell.get("outputs")
        assert cell.get("execution_count") is None
        assert cell.id.replace("-", "").isalpha(), "a name, not a random number"


@each_book
def test_thin(path):
    """Prose before each code cell, few lines in it, and no logic: that belongs into mplan."""
    cells = workbooks.read(path).cells
    assert cells[0].source.startswith("# ")
    kinds = [cell.cell_type for cell in cells]
    assert all(pair != ("code", "code") for pair in pairwise(kinds))
    for cell in cells:
        if cell.cell_type == "code":
            assert len(cell.source.splitlines()) <= LONGEST, cell.id
            logic = (ast.FunctionDef, ast.For, ast.While, ast.Try, ast.ClassDef, ast.Lambda)
            assert not [x for x in ast.walk(ast.parse(cell.source)) if isinstance(x, logic)]


@each_book
def test_has_parameters(path):
    """One cell is tagged for tools that set parameters, and names a file that is there."""
    tagged = [x for x in workbooks.read(path).cells if "parameters" in x.metadata.get("tags", ())]
    assert len(tagged) == 1
    values: dict = {}
    exec(tagged[0].source, values)
    assert (path.parent / values[workbooks.subject(path)]).exists()


@each_book
def test_executes(path, tmp_path):
    """Every cell runs, and leaves pictures and words for readers without a kernel; few bytes."""
    book = workbooks.read(path)
    told = []
    if workbooks.subject(path) == "PROGRAMME":
        assert workbooks.set_path(book, book, PROGRAMME.as_posix())  # its other design is kept
    else:
        workbooks.set_parameters(book, (SCENARIOS / "first_landing.toml").as_posix())
    books = {path.stem: book}
    kernel.execute_all(books, tmp_path, lambda done, total, name: told.append((done, total)))
    outputs = [x for cell in book.cells if cell.cell_type == "code" for x in cell.outputs]
    assert not [x for x in outputs if x.output_type in ("error", "stream")]
    charts = [x.data for x in outputs if PLOTLY in x.get("data", {})]
    assert len(charts) == CHARTS[path.stem]
    assert all(data["image/png"] and data["text/plain"] for data in charts)
    assert "widgets" not in book.metadata
    assert len(nbformat.writes(book)) < HEAVIEST
    assert told[-1] == (len(book.cells), len(book.cells))


def test_a_failing_cell_is_reported(tmp_path):
    """It is named, and the cells after it are executed all the same."""
    cells = [nbformat.v4.new_code_cell(x) for x in ("value = 2", "1 / 0", "value")]
    book = nbformat.v4.new_notebook(cells=cells)
    failed = kernel.execute_all({"book": book}, tmp_path)
    assert failed == {"book": (f"cell 2 ({cells[1].id}): ZeroDivisionError: division by zero",)}
    assert book.cells[2].outputs[0].data["text/plain"] == "2"


def book_of(*sources):
    cells = [nbformat.v4.new_code_cell(x, id=f"cell-{i}") for i, x in enumerate(sources)]
    return nbformat.v4.new_notebook(cells=cells)


def test_a_kernel_takes_one_workbook_after_another(tmp_path):
    """Each has names and counts of its own; what was imported stays, and what `skip` tags waits."""
    first = book_of("this = 1; import wave")
    asks = "import sys; 'wave' in sys.modules and sys.modules['__main__'].__spec__ is None"
    second = book_of("this", asks, "raise SystemExit('never')")
    second.cells[2].metadata.tags = ["study"]
    failed = kernel.execute_all({"a": first, "b": second}, tmp_path, skip="study", kernels=1)
    assert failed == {"a": (), "b": ("cell 1 (cell-0): NameError: name 'this' is not defined",)}
    assert [cell.execution_count for cell in second.cells] == [1, 2, None]
    assert second.cells[1].outputs[0].data["text/plain"] == "True"


def test_a_kernel_that_dies_ends_its_workbook_alone(tmp_path):
    """The workbook is named with the kernel's last words, and the next one has another kernel."""
    last = "import os, sys; print('last words', file=sys.__stderr__, flush=True); os._exit(1)"
    books = {"dies": book_of(last, "1"), "lives": book_of("2")}
    failed = kernel.execute_all(books, tmp_path, kernels=1)
    assert failed["lives"] == ()
    assert failed["dies"][0].startswith("the kernel died: ")
    assert books["lives"].cells[0].outputs[0].data["text/plain"] == "2"


def test_missing_folder_says_what_to_do(tmp_path, monkeypatch):
    monkeypatch.setenv(workbooks.FOLDER, str(tmp_path / "none"))
    with pytest.raises(ScenarioError, match=r"no workbooks here; accepted: .*MPLAN_WORKBOOKS"):
        workbooks.folder()
