"""The readiness sheet and the page of cards as people read them."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

import mplan
from mplan import cli
from mplan.checks import limits
from mplan.show import readiness
from mplan.show.readiness.rows import summary
from mplan.show.readiness.states import MARKS
from mplan.studies import cards
from tests.show.test_charts import contrast


@pytest.fixture(scope="module")
def plan(first_landing) -> mplan.Plan:
    return mplan.fly(first_landing)


@pytest.fixture(scope="module")
def sheet(plan):
    return readiness.every_row(plan)


@pytest.fixture(scope="module")
def page(plan):
    return readiness.page(plan, tuple(cards.of(plan, ways=False)))


def test_a_plan_that_closes_has_nothing_unmet(plan, sheet):
    assert plan.closes
    states = {row.state for row in sheet}
    assert not states & {"not met", "to decide"}
    assert {row.part for row in sheet} == {
        "decision",
        "margin",
        "limit",
        "counter",
        "contact",
        "date",
    }


def test_every_limit_margin_and_finding_has_its_line(plan, sheet):
    told = " ".join(f"{row.item} {row.found}" for row in sheet)
    for row in limits.of(plan.flight):
        if row.kind not in ("stranded propellant", "unit cost", "nonrecurring cost"):
            assert f"{row.kind}, {row.name}" in told
    for each in limits.left.of(plan.flight, without=("control",)):
        assert each.kind or each.name in told
    for burn in plan.every_burn:
        assert burn.name in told
    for finding in plan.findings:
        assert finding.text in told


def test_what_is_not_met_is_told(plan):
    """A descent stage with too little propellant: margin, verdict and findings say so."""
    tanks = plan.scenario.elements["descent_stage"].tanks
    less = {
        f"elements.descent_stage.tanks.{x}.load": f"{0.9 * y.load:.1f} kg" for x, y in tanks.items()
    }
    broken = mplan.fly(plan.scenario.change(less), like=plan)
    found = readiness.every_row(broken)
    unmet = {(row.part, row.item) for row in found if row.state == "not met"}
    assert ("decision", "the plan as a whole") in unmet
    assert ("margin", "powered descent, descent stage") in unmet
    assert found[0].state == "not met"  # they stand first


def test_decisions_are_told(plan):
    fast = plan.scenario.change("elements.ascent_stage.radio.rate", "40 Mbit/s")
    found = readiness.every_row(mplan.fly(fast, like=plan))
    asked = [row for row in found if row.state == "to decide"]
    assert {"the plan as a whole", "contact"} <= {row.item for row in asked}


def test_states_have_a_mark_and_a_word(plan, sheet):
    """No two that differ in meaning share a mark, but for what is not known."""
    marks = [MARKS[x] for x in MARKS if x not in ("not stated", "not examined")]
    assert len(set(marks)) == len(marks)
    table = readiness.sheet(plan)
    assert set(table.frame["state"]) == {f"{MARKS[row.state]} {row.state}" for row in sheet}
    assert summary(sheet).startswith(f"{len(sheet)} lines")


def test_the_page_has_an_index_the_sheet_and_every_card(plan, page):
    for number in range(1, cards.count(plan) + 1):
        assert page.count(f'href="#card-{number}"') == 1
        assert page.count(f'id="card-{number}"') == 1
    assert 'id="sheet"' in page
    assert page.count("A planning study, not flight approval.") == cards.count(plan) + 1
    words = re.sub(r"<style>.*?</style>|<[^>]+>", " ", page, flags=re.DOTALL)
    for word in ("None", "nan", "inf ", "{", "}"):
        assert word not in words
    assert "http" not in page  # offline


def test_a_burns_card_says_what_crews_ask(page):
    card = page.partition('id="card-14"')[2].partition("</section>")[0]
    for word in (
        "settling",
        "start",
        "attitude, middle",
        "right ascension",
        "duration",
        "pitch",
        "declination",
    ):
        assert word in card
    for word in ("to be gained", "cut-off velocity", "Go if, else no-go", "If it fails"):
        assert word in card


def test_names_are_letters_on_a_card(plan):
    """What a planner writes is data: no tag comes through."""
    odd = plan.scenario.change("mission.name", "<b>Bold</b>")
    page = readiness.page(mplan.fly(odd, like=plan), ())
    assert "<b>Bold" not in page


def test_the_command_writes_a_page(tmp_path, capsys, landing_file):
    asked = ["cards", landing_file, "--to", str(tmp_path / "out")]
    assert cli.main([*asked, "--accept-decisions"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[-1].endswith("cards.html")
    text = (tmp_path / "out" / "cards.html").read_text("utf-8")
    assert text.rstrip().endswith("</html>")
    assert list((tmp_path / "out").iterdir()) == [tmp_path / "out" / "cards.html"]


def test_the_command_refuses(capsys, landing_file):
    with pytest.raises(SystemExit):
        cli.main(["cards", landing_file])
    assert "--to" in capsys.readouterr().err
    assert cli.main(["cards", "nowhere.toml", "--to", "x"]) == 2


@pytest.fixture
def landing_file(reference_landing) -> str:
    return str(reference_landing.source)


def test_ink_stands_out_from_the_paper_by_day_and_by_night():
    """Words in the light and in the dark have the contrast that WCAG 2.1 asks for: 4.5 to 1."""
    style = files("mplan.show.readiness").joinpath("page.css").read_text("utf-8")
    found = re.findall(r"--(\w+): light-dark\((#\w{6}), (#\w{6})\)", style)
    colours = {name: pair for name, *pair in found}
    assert {"ink", "paper", "link", "good", "bad", "open"} <= set(colours)
    for name in ("ink", "link", "good", "bad", "open"):
        for ink, paper in zip(colours[name], colours["paper"], strict=True):
            assert contrast(ink, paper) >= 4.5, name
    after = style.split("}", 1)[1]
    assert not re.search(r"#[0-9a-fA-F]{3,6}\b", after)  # no colour but those named
    assert "@media print {\n  :root { color-scheme: light; }" in style  # paper is white
