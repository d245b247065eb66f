"""Pictures and tables of control authority and of the ways out."""

from __future__ import annotations

import io

import pytest
from PIL import Image

import mplan
from mplan.checks.phases import phases
from mplan.contingencies import coverage, tower_escape
from mplan.show import climb
from mplan.show.climb import control_authority, coverage_bars, escape_distance


@pytest.fixture(scope="module")
def found(landing_plan):
    return coverage.of_climb(landing_plan.flight)


@pytest.fixture(scope="module")
def weak(reference_landing):
    """A first stage whose gimbal is too small, and a crew that stands little."""
    changes = {"elements.first_stage.engines.lift.gimbal": "1 deg", "aborts.peak_load": 3.0}
    return mplan.fly(reference_landing.change(changes))


def test_pictures_are_drawn_and_told(landing_plan, found):
    """Each has a still picture, units on its axes, and a line of words."""
    pictures = (
        climb.control_by_phase(landing_plan),
        climb.control(landing_plan),
        climb.coverage(found),
        climb.escapes(landing_plan),
    )
    for picture in pictures:
        colours = Image.open(io.BytesIO(picture.png())).convert("RGB").getcolors(1 << 16)
        assert len(colours) > 10, "an empty page has one colour"
        assert "[" in picture.layout.xaxis.title.text
        assert picture.summary.endswith(".")


def test_every_phase_has_its_bar_and_row(landing_plan):
    """Bars and table hold the same phases with the same figures, each marked an estimate."""
    told, table = phases(landing_plan.flight), control_authority.table(landing_plan)
    assert list(table["phase"]) == [phase.name for phase in told]
    assert set(table["basis"]) == {"estimate"}
    assert set(control_authority.contributions(landing_plan)["basis"]) == {"estimate"}
    lacking = table["pitch, yaw required [deg/s2]"] > table["pitch, yaw available [deg/s2]"]
    assert not lacking.any()
    picture = control_authority.picture(landing_plan)
    shares = [100.0 * max(x.tightest(a).share(a) for a in ("pitch", "roll")) for x in told]
    assert list(picture.data[0].x) == pytest.approx(shares, abs=0.06)
    assert "estimate" in picture.layout.xaxis.title.text


def test_each_cause_is_in_the_table(landing_plan):
    """Required is the sum of its causes times the factor, as the table of phases has it."""
    parts = control_authority.contributions(landing_plan)
    whole = control_authority.table(landing_plan).set_index("phase")
    burn = parts[(parts["phase"] == "trans-Earth injection") & (parts["at"] == "ignition")]
    required = burn[burn["kind"] == "required"]["pitch, yaw [deg/s2]"].sum() * 1.25
    shown = whole.loc["trans-Earth injection"]
    assert len(burn) < len(parts)
    own = climb.control_contributions(landing_plan, "trans-Earth injection").frame
    assert set(own["phase"]) == {"trans-Earth injection"}
    assert shown["decides at"] == "ignition"
    assert shown["pitch, yaw required [deg/s2]"] == pytest.approx(required, abs=1e-3)


def test_the_climb_is_drawn_required_and_available(landing_plan):
    """Two lines in pitch and yaw; the available one stays above the other."""
    required, available = control_authority.climb(landing_plan).data
    pairs = [(r, a) for r, a in zip(required.y, available.y, strict=True) if r is not None]
    assert len(pairs) == 3 * 13
    assert all(a > r for r, a in pairs)


def test_what_is_below_the_requirement_is_told(weak):
    """In words beside the bar, in another pattern, in the table and in the summary."""
    picture = control_authority.picture(weak)
    assert any(picture.data[1].x)
    assert any("BELOW THE REQUIREMENT" in text for text in picture.data[-1].text)
    assert "Control authority below the requirement: first-stage climb." in picture.summary
    assert "below the requirement" in list(control_authority.table(weak)["authority"])


def test_what_is_not_worked_out_is_told(reference_landing):
    """A gimbal that is not stated leaves a blank, and words; so does a lack of guidance."""
    plan = mplan.fly(
        reference_landing.change(
            {
                "elements.second_stage.engines.main.gimbal": None,
                "elements.crew_module.active_guidance": False,
            }
        )
    )
    table = control_authority.table(plan).set_index("phase")
    assert table.loc["second-stage climb", "authority"] == "not worked out"
    assert table["pitch, yaw available [deg/s2]"].isna().sum() == 1
    assert table["authority"].iloc[-1] == "no active guidance element"
    picture = control_authority.picture(plan)
    assert any("NOT WORKED OUT" in text for text in picture.data[-1].text)
    assert any("NO ACTIVE GUIDANCE ELEMENT" in text for text in picture.data[-1].text)
    assert "a gimbal is not stated: second-stage climb." in picture.summary


def test_gaps_are_drawn(weak):
    """The row of gaps has a bar, and the summary says from when to when."""
    gaps = coverage.of_climb(weak.flight)
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
