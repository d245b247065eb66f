"""Pictures and tables of who steers and of the ways out."""

from __future__ import annotations

import io

import pytest
from PIL import Image

import mplan
from mplan.checks.phases import phases
from mplan.contingencies import coverage, tower_escape
from mplan.show import climb
from mplan.show.climb import control_bars, coverage_bars, escape_distance


@pytest.fixture(scope="module")
def found(landing_plan):
    return coverage.of_climb(landing_plan.flight)


@pytest.fixture(scope="module")
def heavy(reference_landing):
    """A first stage whose unit is too small, and a crew that stands little."""
    changes = {"elements.first_stage.control_capacity": "2000 t", "aborts.peak_load": 3.0}
    return mplan.fly(reference_landing.change(changes))


def test_pictures_are_drawn_and_told(landing_plan, found):
    """Each has a still picture, units on its axes, and a line of words."""
    pictures = (
        control_bars.picture(landing_plan),
        control_bars.climb(landing_plan),
        climb.coverage(found),
        climb.escapes(landing_plan),
    )
    for picture in pictures:
        colours = Image.open(io.BytesIO(picture.png())).convert("RGB").getcolors(1 << 16)
        assert len(colours) > 10, "an empty page has one colour"
        assert "[" in picture.layout.xaxis.title.text
        assert picture.summary.endswith(".")


def test_every_phase_has_its_bar_and_row(landing_plan):
    """Bars and table hold the same phases with the same masses."""
    told, table = phases(landing_plan.flight), control_bars.table(landing_plan)
    assert list(table["phase"]) == [phase.name for phase in told]
    assert table["margin [t]"].min() > 0.0
    bars = control_bars.picture(landing_plan).data[0]
    shares = [100.0 * phase.mass / phase.capacity for phase in told]
    assert list(bars.x) == pytest.approx(shares, abs=0.06)


def test_what_is_too_heavy_is_told(heavy):
    """In words beside the bar, in another pattern, and in the summary."""
    picture = control_bars.picture(heavy)
    assert any(picture.data[1].x)
    assert any("TOO HEAVY until" in text for text in picture.data[-1].text)
    assert "Too heavy or without a unit: hold-down, first-stage climb." in picture.summary


def test_gaps_are_drawn(heavy):
    """The row of gaps has a bar, and the summary says from when to when."""
    gaps = coverage.of_climb(heavy.flight)
    picture = climb.coverage(gaps)
    assert any(size > 0.0 for size in picture.data[1].x)
    assert picture.summary.startswith("No abort mode (estimate): ")
    assert "NO ABORT MODE" in list(coverage_bars.table(gaps)["abort mode"])


def test_no_gap_is_told_too(found):
    """Full coverage has no bar in that row, and says so."""
    drawing = coverage_bars.drawing(found)
    assert drawing.summary.startswith("An abort mode is open at every moment (estimate).")
    assert drawing.traces[1]["x"] == [0.0]


def test_escapes_in_the_table(landing_plan):
    """Each escape has its row; what no shock overtakes has a blank."""
    table = escape_distance.table(landing_plan)
    assert list(table["escape"]) == list(tower_escape.along_climb(landing_plan.flight))
    assert table["overpressure, estimate [kPa]"].isna().tolist() == [False, False, True]


def test_without_a_tower(reference_landing):
    """A stack whose tower is not described still has its picture, which says so."""
    plain = mplan.fly(reference_landing.change("elements.escape_tower.escape", None))
    drawing = escape_distance.drawing(plain)
    assert drawing.traces == []
    assert drawing.summary == "No escape tower is described."
