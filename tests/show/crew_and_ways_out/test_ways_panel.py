"""The panel of ways out without a browser: turn it, look at the words and the picture."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.scenario import ScenarioError
from mplan.show import crew_and_ways_out as crew
from mplan.show.crew_and_ways_out import home_path
from mplan.show.crew_and_ways_out.panel import chosen
from tests.conftest import DEMO


@pytest.fixture
def panel(monkeypatch, landing_plan):
    monkeypatch.setenv("MPLAN_RAISE", "1")
    return crew.panel(landing_plan, "90:00", "called off")


def test_it_stands_where_it_is_told(panel):
    assert panel.asked.point.elapsed == 90 * 3600.0
    assert "90:00 after lift-off" in panel.shown.value
    assert panel.controls["failure"].value == "called off"


def test_a_move_flies_the_failure_again(panel):
    """Another time and another failure: the words and the picture are theirs."""
    panel.controls["time"].box.value = 30.0
    assert "30:00 after lift-off (to the Moon), called off" in panel.shown.value
    assert "30:00" in panel.figure.drawing.summary
    panel.controls["failure"].value = "main engine lost"
    assert "main engine lost (" in panel.shown.value
    assert panel.trouble.value == ""


def test_a_way_about_the_moon_has_a_picture_of_its_own(panel):
    """In lunar orbit with orbit and return burn; from half-way there it is not there at all."""
    assert panel.figures.children == (panel.figure, panel.moon)
    names = [x.get("name", "") for x in panel.moon.traces]
    assert "orbit before the return" in names
    assert any(x.startswith("1 return burn, ") for x in names)
    panel.controls["time"].box.value = 30.0
    assert panel.figures.children == (panel.figure,)
    panel.controls["time"].box.value = 90.0
    assert panel.figures.children == (panel.figure, panel.moon)


def test_failures_stand_in_a_row_that_wraps(panel):
    """Five buttons, as wide as their words, over all columns of the board; cabins below them."""
    failures = panel.controls["failure"]
    assert "mplan-row" in failures._dom_classes
    assert failures.buttons.style.button_width == "auto"
    assert "mplan-row" in panel.controls["cabin"]._dom_classes
    assert "mplan-row" not in panel.controls["time"]._dom_classes


def test_what_cannot_be_asked_is_said_and_the_last_is_kept(panel):
    """A cabin that nobody is in then, an engine that burns no more."""
    before = panel.shown.value
    panel.controls["time"].box.value = 20.0
    panel.controls["cabin"].value = "ascent stage"
    assert "nobody is in ascent stage" in panel.trouble.value
    panel.controls["cabin"].value = "crew module"
    assert panel.trouble.value == ""
    assert panel.shown.value != before


def test_a_start_that_cannot_be_is_refused(landing_plan):
    with pytest.raises(ScenarioError, match="found noon; accepted: hours and minutes"):
        crew.panel(landing_plan, "noon")


def test_nobody_aboard_has_no_panel():
    cargo = mplan.fly(mplan.load(DEMO.parent / "cargo_down.toml"))
    assert "nobody to bring home" in crew.panel(cargo).text
    assert "nobody to bring home" in crew.coverage(cargo).text


def test_a_way_that_stays_near_is_drawn_about_earth(landing_plan):
    """From Earth orbit: without the Moon, the plan no further than the view; Earth to scale."""
    drawn = home_path.drawing(chosen(landing_plan, "1:00", "called off"))
    lines = [x for x in drawn.traces if x["mode"] == "lines"]
    assert "the Moon's path" not in {x["name"] for x in lines}
    assert max(np.hypot(x["x"], x["y"]).max() for x in lines) < 2.0 * 6378.0


def test_names_of_the_moon_stand_apart(landing_plan):
    """Two where it moves far meanwhile."""
    drawn = home_path.drawing(chosen(landing_plan, "60:00", "called off"))
    (names,) = [x for x in drawn.traces if x["mode"] == "text"]
    assert [x.strip() for x in names["text"]] == ["Earth", "the Moon then", "the Moon at the end"]
    (r,) = [x for x in drawn.traces if x.get("name") == "the Moon's path"]
    moved = np.hypot(r["x"][-1] - r["x"][0], r["y"][-1] - r["y"][0])
    assert (names["textposition"][2] == "bottom right") == (moved > 200e3)
