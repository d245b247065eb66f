"""The page about two plans: opens offline, says what differs, and its tables and data beside it."""

from __future__ import annotations

import json
import re
from html import escape

import pandas as pd
import pytest

import mplan
from mplan import cli, report
from mplan.cautions import CAUTIONS
from mplan.comparing import compare
from mplan.show.comparing import margin_marks
from tests.conftest import MISSIONS

FLYBY = str(MISSIONS / "single_flyby.toml")


@pytest.fixture(scope="module")
def comparison():
    """A flyby beside the same with a heavier crew module."""
    scenario = mplan.load(FLYBY)
    name = next(x for x, element in scenario.elements.items() if element.role == "crew module")
    dry = scenario.elements[name].dry_mass
    heavier = scenario.change(f"elements.{name}.dry_mass", f"{dry + 50.0} kg")
    return compare(mplan.fly(scenario), mplan.fly(heavier))


@pytest.fixture(scope="module")
def page(comparison, tmp_path_factory):
    return report.write_comparison(comparison, tmp_path_factory.mktemp("made") / "both")


def test_the_page_says_what_differs(comparison, page):
    """Both verdicts, the key with both values, the burns, the cautions, where they come from."""
    text = page.read_text("utf-8")
    (key,) = comparison.keys
    said = [comparison.a.verdict, comparison.b.verdict, key.key, key.a, key.b, *CAUTIONS]
    assert all(escape(x) in text for x in said)
    assert comparison.a.scenario.hash in text
    assert comparison.b.scenario.hash in text
    assert str(MISSIONS) not in text, "a page is passed around"
    assert text.count('class="chapter"') == 9  # eight tables, and where the numbers come from
    assert text.count("<td") > 100


def test_the_page_needs_nothing_from_outside(page):
    ours = re.sub(r"<script>/\*.*?</script>", "", page.read_text("utf-8"), flags=re.DOTALL)
    assert not re.search(r"""(src|href)=["']?https?:""", ours)
    assert ours.count("data-chart=") == 1
    assert "data:image/png" in ours


def test_tables_and_data_lie_beside_it(comparison, page):
    folder = page.parent
    told = json.loads((folder / "comparison.json").read_text("utf-8"))
    assert told["keys"][0]["key"] == comparison.keys[0].key
    burns = pd.read_csv(folder / "tables" / "comparison_burns.csv")
    assert len(burns) == len(comparison.burns)
    assert {x.name for x in folder.iterdir()} == {"comparison.html", "comparison.json", "tables"}


def test_margins_before_and_after(comparison):
    """A row for each burn on which an engine ends; the heavier craft has less left."""
    rows = margin_marks.margin_rows(comparison)
    ends = {row.name: row for row in rows}
    assert all(row.a is not None and row.b is not None for row in rows)
    tight = ends[comparison.a.tightest.name]
    assert tight.a == comparison.a.tightest.margin
    assert tight.b < tight.a
    assert f"{tight.b - tight.a:+,.1f}" in tight.words


def test_a_margin_that_one_plan_has():
    assert margin_marks.MarginRow("descent", None, 12.0).words == "B alone: 12.0 m/s"
    assert margin_marks.MarginRow("descent", 12.0, None).words == "A alone: 12.0 m/s"
    assert margin_marks.MarginRow("descent", 12.0, 12.01).words == "A 12.0, B 12.0 m/s: same"


def test_a_file_in_the_way(tmp_path, capsys):
    """A file where the folder is to be is refused, and stays."""
    there = tmp_path / "file"
    there.write_text("mine", encoding="utf-8")
    asked = ["report", FLYBY, FLYBY, "--with", "mission.name=Other", "--to", str(there)]
    assert cli.main(asked) == 2
    assert str(there) in capsys.readouterr().err
    assert there.read_text("utf-8") == "mine"


def test_report_of_two_files(tmp_path, capsys):
    """`mplan report A B` writes the page and ends with 0; what differs is B with its changes."""
    to = tmp_path / "both"
    asked = ["report", FLYBY, FLYBY, "--with", "mission.name=Other", "--to", str(to)]
    assert cli.main(asked) == 0
    out = capsys.readouterr().out
    assert "1 key differs" in out
    assert str(to / "comparison.html") in out
    text = (to / "comparison.html").read_text("utf-8")
    assert "What differs in the files" in text
    assert text.count('class="verdict ') == 2
    assert text.count('<aside class="cautions"') == 1
    assert (to / "tables" / "comparison_masses.csv").exists()


@pytest.mark.parametrize("more", [["--studies"], ["--what-if", "3"], ["--programme", "cornice"]])
def test_what_two_plans_have_not(more, tmp_path, capsys):
    """What only the report of one mission has is refused with its name, and nothing is written."""
    assert cli.main(["report", FLYBY, FLYBY, "--to", str(tmp_path / "no"), *more]) == 2
    assert f"{more[0]}: does not go with two scenarios" in capsys.readouterr().err
    assert not (tmp_path / "no").exists()


def test_a_negative_number_of_flights(tmp_path, capsys):
    assert cli.main(["report", FLYBY, "--to", str(tmp_path / "no"), "--what-if", "-1"]) == 2
    assert "--what-if: found -1; accepted: 0 flights or more" in capsys.readouterr().err


def test_masses_side_by_side(comparison):
    """Each element is beside itself; the one that was made heavier differs by what it was."""
    moved = [pair for pair in comparison.masses if pair.differs]
    assert len(comparison.masses) == len(comparison.a.scenario.order)
    ((a, b),) = moved
    growth = 1.0 + comparison.a.scenario.margins.mass_growth
    assert b.dry - a.dry == pytest.approx(50.0 * growth)
    assert b.propellant == a.propellant
