"""Every demo runs through brief, workbooks and the tables of a report: no cell of any fails.

Cells are executed here, without a kernel, and every workbook of a demo is given the same flight.
What looks at many flights, or builds sliders, is executed on the First Landing alone
(`test_workbooks`): it takes minutes for all of them.
"""

from __future__ import annotations

import ast
import io
from pathlib import Path
from typing import Any

import pytest

import mplan
from mplan import contract, workbooks
from mplan.show import tables, terminal

SCENARIOS = Path(__file__).parent.parent / "scenarios"
DEMOS = [x for x in sorted(SCENARIOS.glob("*.toml")) if x.stem != "first_landing"]
BOOKS = workbooks.of_a_mission(workbooks.all_in(workbooks.folder()))
MANY_FLIGHTS = {"calendar", "windows", "costs", "loops", "shorten", "engines", "panel"}


@pytest.fixture(scope="module", params=DEMOS, ids=lambda file: file.stem)
def plan(request):
    return mplan.fly(mplan.load(request.param), remedies=False)


def outputs(path: Path, plan: mplan.Plan) -> dict[str, Any]:
    """What the cells of a workbook come to on a plan, by their names."""
    book = workbooks.read(path)
    workbooks.set_parameters(book, plan.scenario.source.as_posix())
    names: dict[str, Any] = {}
    found: dict[str, Any] = {}
    lacking: set[str] = set()  # what cells that are left out would have set
    for cell in book.cells:
        if cell.cell_type != "code":
            continue
        if cell.id == "fly":
            names |= {"scenario": plan.scenario, "plan": plan}
        body = ast.parse(cell.source).body
        used = [x for each in body for x in ast.walk(each) if isinstance(x, ast.Name)]
        if cell.id in MANY_FLIGHTS or lacking & {x.id for x in used}:
            lacking |= {x.id for x in used if isinstance(x.ctx, ast.Store)}
            continue
        if cell.id == "fly":  # the plan is there
            body = [x for x in body if not isinstance(x, ast.Assign)]
        last = body.pop() if isinstance(body[-1], ast.Expr) else None
        exec(compile(ast.Module(body, []), cell.id, "exec"), names)
        if last is not None:
            found[cell.id] = eval(compile(ast.Expression(last.value), cell.id, "eval"), names)
    return found


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_no_cell_fails(plan, path):
    """Each cell shows something, and where its leg is not flown, a sentence that says so."""
    shown = outputs(path, plan)
    assert {"fly", "cautions"} <= shown.keys()
    for name, each in shown.items():
        assert each is not None, name
        assert "Traceback" not in repr(each), name
        html = getattr(each, "_repr_html_", None)
        assert html is None or len(html()) > 30, name


def test_brief_and_tables(plan):
    """One page says whether it closes; every table of a report is there, headers with units."""
    page = io.StringIO()
    terminal.print_brief(plan, page)
    told = page.getvalue()
    assert " ".join(told.split()).startswith(plan.verdict)
    assert all(f"ship {name.replace('_', ' ')}: " in told for name in plan.flight.others)
    for name, frame in tables.everything(plan).items():
        assert len(frame.columns), name
    assert len(contract.document(plan)["burns"]) == len(plan.every_burn)
