"""Launch windows and what other days and speeds cost, as one page or one still picture."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path

import nbformat
from PIL import Image

from mplan.plan import Plan, fly
from mplan.report.page import page
from mplan.scenario import Scenario, ScenarioError
from mplan.show import translunar
from mplan.show.drawn.figure import Picture
from mplan.show.translunar.pictures import DAYS
from mplan.studies import windows
from mplan.studies.launches.chance import Chance
from mplan.studies.windows import Answer, chances

CODE = (  # as a workbook would show each
    "translunar.calendar(found, plan)",
    "translunar.windows(found)",
    "translunar.costs(plan)",
)


def make(scenario: Scenario, answers: Sequence[Answer], path: Path) -> bytes:
    """Return the file that `path` asks for by its end, .html or .png.

    The map covers the first days; ValueError where none of the answers is a launch.
    """
    found = chances(answers)
    if not found:
        raise ValueError("no launch in these days: there is nothing to draw")
    days = min(len({each.day for each in answers}), DAYS)
    plan = _plan(scenario, found[0])
    costs = translunar.costs(plan, days)
    pictures = [
        translunar.calendar(answers, plan),
        *([costs] if isinstance(costs, Picture) else []),
    ]
    if path.suffix == ".png":
        return _stacked(pictures)
    return page(plan, {"windows": _book(answers, pictures)}).encode("utf-8")


def _plan(scenario: Scenario, first: Chance) -> Plan:
    """Return the plan of the scenario's own day and side, or of a chance, if that has none."""
    try:
        return fly(scenario)
    except ScenarioError:
        return fly(windows.as_flown(scenario, first))


def _stacked(pictures: Sequence[Picture]) -> bytes:
    """Return still pictures one below the other."""
    stills = [Image.open(io.BytesIO(each.png())).convert("RGB") for each in pictures]
    width, height = max(x.width for x in stills), sum(x.height for x in stills)
    whole, top = Image.new("RGB", (width, height), "white"), 0
    for still in stills:
        whole.paste(still, (0, top))
        top += still.height
    file = io.BytesIO()
    whole.save(file, "PNG", optimize=True)
    return file.getvalue()


def _book(answers: Sequence[Answer], pictures: Sequence[Picture]) -> nbformat.NotebookNode:
    """Return the pictures and the table as a workbook has them."""
    table = translunar.windows(answers)
    bundles = [each._repr_mimebundle_()[0] for each in pictures]
    bundles.insert(1, {"text/html": table._repr_html_()})
    cells = [nbformat.v4.new_markdown_cell(f"# Launch windows\n\n{pictures[0].summary}")]
    for code, data in zip(CODE, bundles, strict=False):
        output = nbformat.v4.new_output("display_data", data)
        cells.append(nbformat.v4.new_code_cell(code, outputs=[output]))
    return nbformat.v4.new_notebook(cells=cells)
