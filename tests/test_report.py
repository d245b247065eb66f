"""The report: whole or not there, what it says, and what other programs read of it."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from html import escape
from pathlib import Path

import nbformat
import pandas as pd
import pytest

import mplan
from mplan import cli, kernel, report, workbooks
from mplan.cautions import CAUTIONS
from mplan.comparing import dates
from mplan.report import questions
from mplan.scenario import ScenarioError
from mplan.show import tables
from mplan.show.crew_and_ways_out.carried import gaps_in
from mplan.show.programme import readings

SCENARIOS = Path(__file__).parent.parent / "scenarios"


@pytest.fixture(scope="module")
def made(tmp_path_factory, first_landing):
    """A report of a changed scenario."""
    changed = first_landing.change({"orbits.parking_altitude": "190 km"})
    folder = tmp_path_factory.mktemp("made") / "report"
    told = []
    one = report.make(changed, folder, progress=lambda *step: told.append(step))
    assert told[-1][0] == told[-1][1], "progress ends with every cell done"
    return one


@pytest.fixture(scope="module")
def page(made):
    return made.page.read_text("utf-8")


def test_files(made):
    """Page, notebook, data and tables are there, and nothing else is left beside them."""
    folder = made.page.parent
    names = {str(file.relative_to(folder)) for file in made.files}
    assert {"report.html", "01_whole_mission.ipynb", "plan.json"} < names
    csv = {f"tables/{name}.csv" for name in tables.everything(made.plan)}
    assert csv | {"tables/tables.xlsx", "tables/provenance.csv"} < names
    assert [path.name for path in folder.parent.iterdir()] == [folder.name]


def test_page_says_where_it_comes_from(made, page):
    """Scenario, hash, changes, versions, ephemeris and integrator are stated; cautions too."""
    scenario = made.plan.scenario
    facts = ["First Landing", "first_landing.toml", scenario.hash, mplan.__version__, "DE421"]
    facts += ["190 km", "numpy", "integrator"]
    assert all(fact in page for fact in facts)
    assert all(caution.replace("'", "&#x27;") in page for caution in CAUTIONS)
    assert "glossary" not in page, "a link to what the reader does not have"
    assert made.plan.verdict in page


def test_page_needs_nothing_from_outside(page):
    """No script, style, picture or font is fetched; plotly is inlined once."""
    ours = re.sub(r"<script>/\*.*?</script>", "", page, flags=re.DOTALL)  # plotly's own text
    assert len(ours) < 200_000 * len(workbooks.all_in(workbooks.folder()))
    assert not re.search(r"""(src|href)=["']?https?:""", ours)
    assert len(page.encode()) < 7_500_000
    # One on the first screen; 3, 5, 4, 1, 8, 9, 5, 2, 6 and 1, by workbook.
    assert ours.count("data-chart=") == 45


def test_page_is_for_who_has_neither_python_nor_workbooks(page):
    """No workbook's sliders, cells, knobs and run time are told of, and cautions once."""
    own = re.sub(r'<section id="what-if".*?</section>', "", page, flags=re.DOTALL)
    words = re.sub(r"<(script|style|pre)\b.*?</\1>", "", own, flags=re.DOTALL)
    for said in ("JupyterLab to move", "Run time", "SCENARIO", "slider", "press Enter", "glossary"):
        assert said not in words, said
    cards = words.count('<p class="caution">')  # each card is printed alone, with its own
    assert words.count('<aside class="cautions"') == words.count(escape(CAUTIONS[0])) - cards == 1


def test_chapters_are_questions_with_an_answer_first(made, page):
    """The contents lead to each chapter, and each that the plan answers opens with a sentence."""
    named = re.findall(r'<section class="chapter" id="([^"]+)"', page)
    assert named == [*(each.name for each in questions.QUESTIONS), "origin"]
    contents = page.partition('<nav id="contents"')[2].partition("</nav>")[0]
    assert re.findall(r'<a href="#([^"]+)">', contents) == named
    for question in questions.QUESTIONS:
        answer = question.answer(made.plan)
        assert f'<p class="answer">{escape(answer)}</p>' in page, question.name


def test_first_screen_has_what_decides(made, page):
    """Verdict, cautions, the way, dates, budget and decisions stand before the contents."""
    first = page.partition('<nav id="contents"')[0]
    assert made.plan.verdict in first
    assert escape(CAUTIONS[0]) in first
    assert all(f"{each.when:%Y-%m-%d %H:%M}" in first for each in dates.of(made.plan))
    assert all(burn.name in first for burn in made.plan.burns)
    assert all(f'aria-labelledby="{name}"' in first for name in ("picture", "decisions"))


def test_gaps_in_the_ways_out_are_findings(made, page):
    """Those of the coverage that a workbook has flown, with from and to, on page and as data."""
    found = [x.text for x in made.plan.findings if x.check == "ways out"]
    book = nbformat.read(made.page.parent / "10_crew_and_ways_out.ipynb", as_version=4)
    shown = (x.get("data", {}) for cell in book.cells for x in cell.get("outputs", ()))
    gaps = gaps_in(shown)
    assert len(found) == len(gaps) > 0
    assert all(re.search(r"from \d+:\d\d", text) for text in found)
    assert f"{len(found)} gaps in the ways out" in page.partition('<nav id="contents"')[0]
    document = json.loads((made.page.parent / "plan.json").read_text("utf-8"))
    assert set(found) <= {x["text"] for x in document["findings"]}


def test_what_a_reader_can_try_comes_after_the_first_screen(page):
    """The sliders of changed missions stand before the contents, with the flights in the page."""
    first, _, after = page.partition('<section id="what-if"')
    assert "Key dates" in first
    assert '<nav id="contents"' in after
    kept = re.search(r'<script type="application/json" class="wi-data">(.*?)</script>', after)
    flights = json.loads(kept[1])["flights"]
    assert 40 < len(flights) <= report.MOST_FLIGHTS + 1


def test_studies_are_left_out_unless_asked_for(made, page):
    """Their cells are not executed, and the chapter says how to have them."""
    assert "Not in this report: What is felt in a margin" in page
    assert "mplan report --studies" in page
    book = nbformat.read(made.page.parent / "09_what_to_change.ipynb", as_version=4)
    ran = {x.id: bool(x.execution_count) for x in book.cells if x.cell_type == "code"}
    assert [name for name, done in ran.items() if not done] == [
        *("sensitivities", "exchange", "sizing", "odds", "trades"),
    ]


def test_page_links_what_lies_beside_it(made, page):
    """Every table, workbook and data file is linked, and every link has its file."""
    linked = re.findall(r'<li><a href="([^"#]+)"', page)
    there = {file.relative_to(made.page.parent).as_posix() for file in made.files}
    assert set(linked) == there - {"report.html"}


def test_notebook_runs_again_from_there(made):
    """The executed notebook finds its scenario from its own folder, and says what was changed."""
    book = nbformat.read(made.page.parent / "01_whole_mission.ipynb", as_version=4)
    source = next(x.source for x in book.cells if "parameters" in x.metadata.get("tags", ()))
    values: dict = {}
    exec(source, values)
    again = mplan.load(made.page.parent / values["SCENARIO"]).change(values["CHANGES"])
    assert again.hash == made.plan.scenario.hash
    assert not Path(values["SCENARIO"]).is_absolute()
    assert "widgets" not in book.metadata


def test_data_is_the_plan(made):
    document = json.loads((made.page.parent / "plan.json").read_text("utf-8"))
    assert document["scenario"]["hash"] == made.plan.scenario.hash
    assert [x["name"] for x in document["burns"]] == [burn.name for burn in made.plan.burns]


def test_tables_carry_units_and_numbers(made):
    """CSV and XLSX hold the same budget, numbers as numbers, with units in the headers."""
    folder = made.page.parent / "tables"
    csv = pd.read_csv(folder / "budget.csv")
    xlsx = pd.read_excel(folder / "tables.xlsx", sheet_name="budget")
    wanted = [round(burn.required, 1) for burn in made.plan.burns]
    for frame in (csv, xlsx):
        assert list(frame["required [m/s]"]) == pytest.approx(wanted)


def test_bad_scenario_writes_nothing(tmp_path):
    """A scenario with a fault is refused before anything is written."""
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\n", encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"bad\.toml"):
        report.make(bad, tmp_path / "out")
    assert [path.name for path in tmp_path.iterdir()] == ["bad.toml"]


def test_failure_leaves_nothing(tmp_path, first_landing, monkeypatch):
    """What stops the writing leaves an older report untouched and no half of a new one."""

    def fail(*_, **__):
        raise OSError("no space left")

    monkeypatch.setattr(kernel, "execute_all", fail)
    old = tmp_path / "out" / "report.html"
    old.parent.mkdir()
    old.write_text("older", encoding="utf-8")
    with pytest.raises(OSError, match="no space left"):
        report.make(first_landing, old.parent)
    assert old.read_text("utf-8") == "older"
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["out", "report.html"]


def test_a_kernel_that_dies_is_reported(tmp_path, first_landing, monkeypatch):
    """Its workbook is named as failed; page, tables and data are written all the same."""

    def die(books, *_, **__):
        return dict.fromkeys(books, ("the kernel died: out of memory",))

    monkeypatch.setattr(kernel, "execute_all", die)
    made = report.make(first_landing, tmp_path / "out")
    names = [path.stem for path in workbooks.of_a_mission(workbooks.all_in(workbooks.folder()))]
    assert list(made.failures) == [f"{name}, the kernel died: out of memory" for name in names]
    assert made.page.read_text("utf-8").count("out of memory") == len(names)
    assert made.page.with_name("plan.json").exists()


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such signal to send")
def test_interruption_leaves_nothing(tmp_path):
    """Ctrl-C in the middle stops the kernel, leaves no file, and reaches the caller."""
    code = f"""
from mplan import report
try:
    report.make({str(SCENARIOS / "first_landing.toml")!r}, {str(tmp_path / "out")!r},
                progress=lambda *step: print("cell", flush=True))
except KeyboardInterrupt:
    print("stopped", flush=True)
"""
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout.readline() == "cell\n"
        time.sleep(0.3)
        run.send_signal(signal.SIGINT)
        said, _ = run.communicate(timeout=30)
    assert said.endswith("stopped\n")
    assert list(tmp_path.iterdir()) == []


SMALL = Path(__file__).parent / "show" / "programme" / "small.toml"


@pytest.fixture(scope="module")
def of_programme(tmp_path_factory):
    """A report of a programme alone, into a folder that is not there yet."""
    return report.make(None, tmp_path_factory.mktemp("all") / "report", programme=SMALL)


def test_a_programme_alone_has_its_page(of_programme):
    """Its workbook is executed on its own file; page, tables, JSON and iCalendar are written."""
    folder = of_programme.page.parent
    names = {str(file.relative_to(folder)) for file in of_programme.files}
    assert names >= {"programme.html", "08_the_programme.ipynb", "calendar.json", "calendar.ics"}
    assert "tables/programme_cost_by_year.csv" in names
    assert not {"report.html", "plan.json", "trajectory.oem"} & names
    assert of_programme.page.name == "programme.html"
    assert (of_programme.plan, of_programme.failures) == (None, ())
    told = json.loads((folder / "calendar.json").read_text("utf-8"))
    assert told["programme"]["name"] == "Small, with a comma"


def test_the_page_of_a_programme_says_what_it_is(of_programme):
    """Name, end, what clashes, cautions; three pictures; no link where no mission is reported."""
    page = of_programme.page.read_text("utf-8")
    assert "<title>Small, with a comma: programme of missions</title>" in page
    assert readings.headline(of_programme.calendar) in page
    assert "no commitment" in page
    assert all(caution.replace("'", "&#x27;") in page for caution in CAUTIONS)
    ours = re.sub(r"<script>/\*.*?</script>", "", page, flags=re.DOTALL)
    assert ours.count("data-chart=") == 4  # the first screen has one
    assert "report.html" not in ours


def test_without_a_programme_there_is_no_page_of_one(made, page):
    assert not made.page.with_name("programme.html").exists()
    assert "programme.html" not in page


def test_both_pages_lead_to_each_other(tmp_path, first_landing, monkeypatch):
    """With a programme the mission's report links its page, and that one leads back."""
    monkeypatch.setattr(kernel, "execute_all", lambda books, *_, **__: dict.fromkeys(books, ()))
    made = report.make(first_landing, tmp_path / "out", programme=SMALL)
    assert made.page.name == "report.html"
    assert 'href="programme.html">The programme: Small, with a comma' in made.page.read_text()
    back = made.page.with_name("programme.html").read_text("utf-8")
    assert 'href="report.html">The mission: First Landing' in back
    both = (made.page.parent / "tables" / "cautions.txt").read_text("utf-8")
    assert "no commitment" in both


def test_a_report_of_nothing_is_refused(tmp_path, capsys):
    with pytest.raises(ValueError, match="a scenario, a programme, or both"):
        report.make(None, tmp_path / "out")
    assert cli.main(["report", "--to", str(tmp_path / "out")]) == 2
    assert "SCENARIO: not given; accepted: a scenario, --programme FILE" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
