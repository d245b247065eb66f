"""Names of planners are data: no page, picture, terminal, spreadsheet or message obeys one."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timezone
from pathlib import Path

import openpyxl
import pytest

import mplan
from mplan import cli, lettering, oem
from mplan.contract import as_json
from mplan.report import cells, page
from mplan.report.mission import write_tables
from mplan.show import gist, mission, notebook, notes, stack, tables
from mplan.show.drawn.figure import PLOTLY
from mplan.show.drawn.live import LiveFigure
from mplan.show.mission import burn_bars
from mplan.show.terminal import print_brief

MISSIONS = Path(__file__).parent / "missions"
NASTY = (
    '=HYPERLINK("x")<script>alert(1)</script> <b>bold</b> <a href="javascript:x">a</a> '
    "$\\frac{1}{2}$ &amp; [bold]r[/bold] %{x} ${title} ünï"
)
SHORT = "=<b>bold</b> $\\a$ &lt;"  # on pictures, where long names leave no room
OBEYED = ("<script>alert", "<b>bold", '<a href="javascript')


@pytest.fixture(scope="module")
def nasty() -> mplan.Plan:
    """A mission whose every name is one that some medium would obey."""
    scenario = mplan.load(MISSIONS / "orbit_and_return.toml")
    labels = {f"elements.{name}.label": f"{SHORT} {name}" for name in scenario.stack}
    engines = {
        f"elements.{name}.engines.{key}.label": f"{SHORT} {key}"
        for name, element in scenario.elements.items()
        for key in element.engines
    }
    names = {"mission.name": NASTY, "launch_site.name": f"{NASTY} site"}
    return mplan.fly(scenario.change({**names, **labels, **engines}), remedies=True)


def texts(node: object) -> Iterator[str]:
    """Every text of a figure but its summary."""
    if isinstance(node, dict):
        for key, value in node.items():
            if key != "meta":
                yield from texts(value)
    elif isinstance(node, (list, tuple)):
        for value in node:
            yield from texts(value)
    elif isinstance(node, str):
        yield node


def pictures(plan: mplan.Plan) -> list:
    return [mission.budget_bars(plan), mission.timeline(plan), stack.profile(plan)]


def test_the_names_are_there(nasty):
    """So that the tests below mean something: the names come out in tables and pictures."""
    assert NASTY in nasty.verdict
    assert any(SHORT in str(x) for x in tables.stack(nasty)["element"])
    assert any(SHORT in x for each in pictures(nasty) for x in texts(each.to_plotly_json()))


def test_html(nasty):
    """Pages, tables and words of panels show them letter by letter."""
    parts = [page.page(nasty, {})]
    parts += [
        notes.gist(nasty, gist.lines(nasty)),
        notes.findings(nasty),
        notes.trouble(NASTY),
        notes.verdict(nasty),
    ]
    parts += [notebook.Table(frame)._repr_html_() for frame in tables.everything(nasty).values()]
    parts += [notebook.made_from(nasty)._repr_html_()]
    for part in parts:
        assert not [x for x in OBEYED if x in part]
    assert "&lt;b&gt;bold" in parts[0]


def test_formulas_of_a_notebook_are_left_alone(nasty):
    """What cells show is marked for MathJax to skip: a dollar sign in a name begins no formula."""
    for words in (notebook.verdict(nasty), notebook.Table(tables.stack(nasty))):
        assert words._repr_html_().startswith('<div class="tex2jax_ignore mathjax_ignore">')


def test_pictures(nasty):
    """Plotly finds no tag and MathJax no formula in a picture; the still has the bare letters."""
    for each in pictures(nasty):
        bundle, _ = each._repr_mimebundle_()
        for text in texts(bundle[PLOTLY]):
            bare = re.sub(r"<(br|extra|/extra)>", "", text)
            assert not re.search(r"[<$]", bare), text
        assert each.png()[:4] == b"\x89PNG"


def test_live_pictures(nasty):
    """Those of panels are as safe, when they are made and when they are redrawn."""
    drawing = burn_bars.drawing(nasty)
    figure = LiveFigure(drawing, 400)
    figure.redraw(replace(drawing, x={**drawing.x, "title": {"text": NASTY}}))
    shown = {"data": figure.traces, "layout": figure.frame}
    assert "&lt;b&gt;bold" in shown["layout"]["xaxis"]["title"]["text"]
    assert not any(re.search(r"<b>|<a |\$", x) for x in texts(shown))


def test_a_page_with_pictures(nasty):
    """Nothing in the data of a chart ends the script that holds it."""
    made = cells.chart(pictures(nasty)[0]._repr_mimebundle_()[0], cells.Numbers())
    data = made.partition('type="application/json"')[2].removesuffix("</script>")
    assert "<" not in data
    assert not [x for x in OBEYED if x in made]


def test_spreadsheets(nasty, tmp_path):
    """No cell of CSV or XLSX is a formula; numbers stay numbers."""
    write_tables(nasty, tmp_path / "tables")
    seen = 0
    for file in (tmp_path / "tables").glob("*.csv"):
        for row in csv.reader(io.StringIO(file.read_text("utf-8"))):
            for cell in row:
                seen += cell.startswith("'=HYPERLINK")
                assert cell[:1] not in tuple("=@\t\r") or not cell
                assert cell[:1] not in ("+", "-") or lettering.FIGURE.fullmatch(cell), cell
    assert seen
    book = openpyxl.load_workbook(tmp_path / "tables" / "tables.xlsx")
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}
    assert "f" not in kinds
    assert book["budget"]["C2"].data_type == "n"


def test_the_terminal(nasty, tmp_path):
    """Brackets are no styles, and the page is 100 columns as ever."""
    out = io.StringIO()
    print_brief(nasty, out)
    assert "[bold]r[/bold]" in " ".join(out.getvalue().split())
    assert max(map(len, out.getvalue().splitlines())) <= 100


def test_the_contract(nasty):
    assert json.loads(as_json(nasty))["scenario"]["name"] == NASTY


def test_the_message_of_arcs(nasty):
    """One line a name, in ASCII."""
    text = oem.message(nasty, datetime(2030, 1, 1, tzinfo=timezone.utc))
    assert text.isascii()
    [line] = {x for x in text.splitlines() if x.startswith("OBJECT_NAME")}
    assert line.startswith("OBJECT_NAME = =HYPERLINK")
    assert len(line) <= 100


CONTROLS = "a\x1b]0;title\x07b\x1b[31mc\rd\x9b2Je\u202ef\x00g"


def test_no_control_character_reaches_a_medium():
    """Those that a name may have got past the reading."""
    shown = lettering.terminal(CONTROLS)
    assert shown.isprintable()
    assert re.sub("\ufffd", "", shown) == "a]0;titleb[31mcd2Jefg"
    assert lettering.terminal("a\nb\tc é 月") == "a\nb\tc é 月"
    assert lettering.spreadsheet("\x1b=1") == "\ufffd=1"
    assert lettering.ascii_line("a\nMETA_STOP\x1b[0m") == "a META_STOP [0m"
    assert lettering.ascii_line("月") == "UNNAMED"


@pytest.mark.parametrize("cell", ["=1", "+cmd|x", "-1+1", "@SUM(1)", "\t=1", "＝1", "-a"])
def test_formulas_are_told(cell):
    assert lettering.spreadsheet(cell).startswith("'")


@pytest.mark.parametrize("cell", ["-00:00:05", "-1 d 04:36:12", "-5.2", "+3", "a=b", 7, None, ""])
def test_what_is_no_formula_stays(cell):
    assert lettering.spreadsheet(cell) == cell


def test_a_message_about_a_file_is_plain(tmp_path, capsys):
    """The name of a file gives the terminal no commands either."""
    name = f"{tmp_path}{os.sep}\x1b[31mred.toml"
    assert cli.main(["brief", name]) == 2
    assert "\x1b" not in capsys.readouterr().err
