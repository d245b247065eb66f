"""What is an estimate says so in every table and in every picture that shows it.

Each test fails when the mark of its own table or picture is removed.
"""

from __future__ import annotations

import io
import json

import pytest

import mplan
from mplan.contingencies import coverage
from mplan.show import climb, gist, homeward, launch_windows, mission, moon, tables, translunar
from mplan.show.terminal import print_brief, print_windows
from mplan.studies import windows


@pytest.fixture(scope="module")
def allowed(reference_landing):
    """A plan that states allowances in place of errors: its corrections are estimates."""
    stated = {"outbound_correction": "20 m/s", "homeward_correction": "8 m/s"}
    return mplan.fly(reference_landing.change({"allowances": stated, "errors": None}))


@pytest.fixture(scope="module")
def bare(reference_landing):
    """A plan whose crew module says nothing of its shape: its splash is an estimate."""
    return mplan.fly(reference_landing.change("elements.crew_module.aeroshell", None))


def rows(plan, table):
    """The rows of a table that are about corrections."""
    return table[table["burn"].str.contains("correction")]


def words(picture) -> str:
    """Everything that a picture writes, its axes among it."""
    return json.dumps(picture.to_plotly_json(), default=list)


def test_budget_table(allowed):
    assert set(rows(allowed, tables.budget(allowed))["basis"]) == {"estimate"}
    flown = tables.budget(allowed)["basis"].value_counts()
    assert flown["estimate"] == 2


def test_loss_table(allowed):
    marked = {burn.name for burn in allowed.burns if burn.estimate}
    found = tables.losses(allowed)
    for name, basis in zip(found["burn"], found["basis"], strict=True):
        assert basis == ("estimate" if name in marked else "flown")


def test_event_table(allowed):
    found = tables.timeline(allowed)
    marked = [moment.event for moment in allowed.timeline if moment.estimate]
    assert marked
    assert found.loc[found["basis"] == "estimate", "event"].tolist() == marked


def test_budget_bars(allowed):
    drawn = mission.budget_bars(allowed)
    assert "required (hatched: estimate)" in [trace.name for trace in drawn.data]
    marked = [name for name in drawn.data[0].y if "(estimate)" in name]
    assert len(marked) == 2
    assert all("correction" in name for name in marked)


def test_timeline_picture(allowed):
    told = words(mission.timeline(allowed))
    assert told.count(", estimate)") == len(
        [x for x in allowed.timeline if x.estimate and x.kind == "burn"]
    )


def test_terminal(allowed):
    out = io.StringIO()
    print_brief(allowed, out)
    budget = out.getvalue().partition("Budget")[2].partition("available: ")[0]
    words = " ".join(budget.split())  # a long name is broken over two lines
    assert words.count("correction") == words.count("correction (estimate)") == 2


def test_corrections_without_errors(allowed):
    """Both workbooks say that the figure is an estimate."""
    assert "(estimate)" in repr(translunar.corrections(allowed))
    assert "(estimate)" in repr(homeward.corrections(allowed))


def test_splash_without_an_aeroshell(bare, landing_plan):
    """In the brief's lines and in the figures of the way home; not where it is flown."""
    assert "(estimate)" in gist.lines(bare)[-1]
    assert "(estimate)" in repr(homeward.figures(bare))
    assert "(estimate)" not in gist.lines(landing_plan)[-1]
    assert "(estimate)" not in repr(homeward.figures(landing_plan))
    assert tables.timeline(bare)["basis"].iloc[-1] == "estimate"
    assert ", estimate)" in words(mission.timeline(bare))


def test_splash_of_launch_windows(bare, landing_plan):
    """In the table, the document and on the terminal; not where it is flown."""
    for plan, basis in ((bare, "estimate"), (landing_plan, "flown")):
        scenario = plan.scenario
        answers = windows.of_day(scenario, scenario.dates.launch_day)
        chance = next(x for x in answers if x.side == scenario.dates.side)
        assert translunar.windows([chance]).frame["splash basis"].tolist() == [basis]
        told = launch_windows.document(scenario, [chance])["windows"][0]
        assert told["splash_estimate"] == (basis == "estimate")
        out = io.StringIO()
        print_windows(scenario, [chance], out)
        assert ("~: estimate" in out.getvalue()) == (basis == "estimate")
        assert out.getvalue().count("~") == 2 * (basis == "estimate")


def test_latitudes_of_the_splash(landing_plan):
    picture = homeward.splashes(landing_plan)
    assert "(estimate)" in picture.layout.xaxis.title.text
    assert "(estimate)" in picture.summary
    frame = homeward.splash_latitudes(landing_plan).frame
    heads = [head for head in frame if "[deg]" in head]
    assert heads
    assert all("estimate" in head for head in heads)


def test_escape_picture(landing_plan):
    picture = climb.escapes(landing_plan)
    names = [trace.name for trace in picture.data]
    for name in ("shock on the pad", "fireball on the pad"):
        assert f"{name} (estimate)" in names
    met = picture.summary.split("; ")
    assert all("(estimate)" in each for each in met)


def test_escape_table(landing_plan):
    heads = list(climb.escape_table(landing_plan).frame)
    for what in ("TNT equivalent", "overtaken at", "overpressure"):
        assert [head for head in heads if head.startswith(f"{what}, estimate [")]


def test_abort_coverage(landing_plan):
    """Loads and velocities of aborts are estimates, in the picture, its words and its table."""
    found = coverage.of_climb(landing_plan.flight)
    picture = climb.coverage(found)
    assert "open (estimate)" in [trace.name for trace in picture.data]
    assert "(estimate)" in picture.summary
    assert set(climb.coverage_table(found).frame["basis"]) == {"estimate"}


def test_descent_aborts(landing_plan):
    names = [trace.name for trace in moon.aborts(landing_plan).data]
    required = [name for name in names if "required" in name]
    assert len(required) == 2
    assert all("(estimate)" in name for name in required)
    heads = [head for head in moon.abort_table(landing_plan).frame if "[m" in head][2:]
    assert heads
    assert all("estimate" in head for head in heads)
