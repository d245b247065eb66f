"""Cautions stand in every output, whatever its form."""

from __future__ import annotations

import io
import json
import sys
from datetime import datetime, timezone

import pandas as pd
import pytest

from mplan import cli
from mplan.cautions import CAUTIONS
from mplan.contract import document, schema
from mplan.oem import message
from mplan.report.mission import write_tables
from mplan.show import engine_trades, launch_windows, mission, notebook
from mplan.show.drawn import still
from mplan.show.terminal import print_brief, print_windows
from mplan.studies.windows import NoChance

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib


def joined(text: str) -> str:
    """Text with its line breaks taken out, as words that were wrapped read."""
    return " ".join(text.split())


def test_the_brief(landing_plan):
    out = io.StringIO()
    print_brief(landing_plan, out)
    assert all(caution in joined(out.getvalue()) for caution in CAUTIONS)


def test_the_windows_on_a_terminal(reference_landing):
    out = io.StringIO()
    day = reference_landing.dates.launch_day
    print_windows(reference_landing, [NoChance(day, "ascending", "no arc")], out)
    assert all(caution in joined(out.getvalue()) for caution in CAUTIONS)


def test_the_documents(landing_plan):
    """The plan, the windows and the trades as JSON; the schema asks for them."""
    scenario = landing_plan.scenario
    for found in (
        document(landing_plan),
        launch_windows.document(scenario, []),
        engine_trades.document(scenario, []),
    ):
        assert json.loads(json.dumps(found))["cautions"] == list(CAUTIONS)
    assert "cautions" in schema()["required"]


def test_the_ephemeris_message(landing_plan):
    lines = message(landing_plan, datetime.now(timezone.utc)).splitlines()
    assert [f"COMMENT {caution}" for caution in CAUTIONS] == lines[2:7]
    assert max(map(len, lines)) <= 254, "the longest line that the standard allows"


def test_the_events(reference_landing, capsys):
    """As comments: what is printed is still TOML."""
    cli.main(["events", str(reference_landing.source)])
    printed = capsys.readouterr().out
    assert all(f"# {caution}" in printed for caution in CAUTIONS)
    assert tomllib.loads(printed)["events"]


def test_the_tables(landing_plan, tmp_path):
    """A text file beside the CSV files, a sheet of the workbook."""
    write_tables(landing_plan, tmp_path / "tables")
    text = (tmp_path / "tables" / "cautions.txt").read_text("utf-8")
    assert text.splitlines() == list(CAUTIONS)
    sheet = pd.read_excel(tmp_path / "tables" / "tables.xlsx", sheet_name="cautions")
    assert sheet["caution"].tolist() == list(CAUTIONS)


def test_the_workbooks(landing_plan):
    assert repr(notebook.cautions()) == "\n".join(CAUTIONS)


@pytest.mark.parametrize("picture", [mission.budget_bars, mission.trajectory])
def test_still_pictures(landing_plan, picture, monkeypatch):
    """A line below the axes, on the page that becomes the PNG."""
    pages = []
    packed = still._packed
    monkeypatch.setattr(
        still, "_packed", lambda canvas, *rest: pages.append(canvas.figure) or packed(canvas, *rest)
    )
    assert picture(landing_plan).png().startswith(b"\x89PNG")
    (line,) = [text for text in pages[0].texts if text.get_text() == CAUTIONS[0]]
    box = line.get_window_extent()
    assert 0.0 <= box.x0 < box.x1 <= pages[0].bbox.width
    assert 0.0 <= box.y0 < pages[0].axes[0].get_window_extent().y0
