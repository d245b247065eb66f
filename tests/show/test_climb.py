"""The climb in curves, bars and tables, and the panel that flies it again."""

from __future__ import annotations

from time import perf_counter

import numpy as np
import pytest

import mplan
from mplan.physics.constants import G0
from mplan.show import climb as shown
from mplan.show import gist
from mplan.show.climb import curves, loss_bars
from mplan.show.climb.tables import facts as climb_facts
from mplan.show.drawn.figure import Picture
from mplan.studies import off_nominal
from tests.show.differences import without


@pytest.fixture(autouse=True)
def _raise(monkeypatch):
    """Let an error in a callback fail the test."""
    monkeypatch.setenv("MPLAN_RAISE", "1")


@pytest.fixture(scope="module")
def panel(reference_landing):
    return shown.panel(reference_landing)


@pytest.mark.parametrize("curve", curves.CURVES, ids=lambda x: x.name)
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_curves(landing_plan, curve, theme):
    """Each curve is drawn from the track, its unit on the axis, its peak in words, and as a PNG."""
    picture = Picture(curve.drawing(landing_plan, theme))
    line = picture.data[0]
    values = curve.values(landing_plan.flight.end.climb)
    assert max(line.y) == pytest.approx(values.max(), rel=0.02)
    assert picture.layout.yaxis.title.text.endswith(f"[{curve.unit}]")
    assert picture.layout.xaxis.title.text.endswith("[s]")
    assert list(picture.data[2].text)[-1].strip() == "insertion"
    assert f"{values.max():,.{curve.digits}f} {curve.unit}" in picture.summary
    assert picture.png().startswith(b"\x89PNG")


def test_the_limit_is_drawn_where_there_is_one(landing_plan):
    """A dashed line for the stated acceleration, none for a pressure that is not limited."""
    limit = landing_plan.scenario.climb.acceleration_limit
    felt = shown.acceleration(landing_plan)
    assert list(felt.data[1].y) == [limit / G0] * 2
    assert not shown.dynamic_pressure(landing_plan).data[1].x


def test_loss_bars_add_up(landing_plan):
    """The parts of each stage's bar are its ideal velocity."""
    drawn = loss_bars.drawing(landing_plan)
    bars = [x for x in drawn.traces if x["type"] == "bar"]
    ideal = [part.ideal for part in landing_plan.flight.end.climb.parts]
    assert np.sum([bar["x"] for bar in bars], axis=0) == pytest.approx(ideal, abs=0.5)
    assert "become speed over ground" in drawn.summary


def test_tables(landing_plan):
    """A row for each event, each stage and all, each fall, each off-nominal case."""
    climb = landing_plan.flight.end.climb
    staging, losses = shown.staging(landing_plan), shown.loss_table(landing_plan)
    assert repr(staging).count("\n") == len(climb.track.events)
    assert repr(losses).splitlines()[-1].split()[0] == "all"
    falls = repr(shown.falls(landing_plan))
    assert "second stage" in falls
    assert " S " in falls
    assert "one engine out" in repr(shown.off_nominal(landing_plan))
    assert "warm day, no wind" in repr(shown.weather(landing_plan))


def test_figures(landing_plan):
    """The figures say how it was steered, and what is left."""
    facts = climb_facts(landing_plan)
    assert facts["steering"].startswith("optimised")
    assert facts["outcome"] == "185 km orbit reached"
    left = landing_plan.flight.end.climb.left / 1e3
    assert facts["propellant left"].startswith(f"{left:,.2f} t")


def test_one_line_of_it(landing_plan, reference_landing):
    """The gist has the climb in one line, and says where its steering is kept."""
    line = gist.climb(landing_plan)
    assert line.startswith("climb: max q ")
    assert line.endswith("t left at insertion")
    heavier = reference_landing.change("elements.crew_module.dry_mass", "6 t")
    kept = mplan.fly(heavier, like=landing_plan)
    assert gist.climb(kept).endswith("steered as the optimised climb of Reference Landing")


def test_a_move_flies_the_climb_again(panel, reference_landing):
    """Figures and words follow the slider, in about the time of one flight."""
    begin = perf_counter()
    panel.controls["orbits.parking_altitude"].slider.value = 210.0
    print(f"a move of the climb panel: {(perf_counter() - begin) * 1e3:.0f} ms")
    assert "210 km orbit reached" in without(panel.words.value)
    assert "steered as the optimised climb of Reference Landing" in panel.steered.value
    assert "186" not in panel.figures[0].shown.layout.meta
    panel.back.click()
    assert "optimised for most propellant" in panel.steered.value


def test_engines_can_be_taken_off(panel):
    """Too few of them, and the panel says why the climb fails."""
    key = "elements.first_stage.engines.lift.count"
    panel.controls[key].slider.value = 4.0
    assert "does not leave the pad" in panel.words.value
    panel.back.click()
    assert "185 km orbit reached" in without(panel.words.value)


def test_off_nominal_cases(landing_plan):
    """The planned climb first, then each off-nominal case; an upper stage alone is flown alike."""
    found = off_nominal.usual_cases(landing_plan)
    assert found[0].flown is landing_plan.flight.end.climb
    assert len({x.name for x in found}) == len(found)
    assert all(x.left < found[0].left + 500.0 for x in found[1:])
    part = off_nominal.climb_from_stage(landing_plan, 1, found[0].flown.dispersions)
    assert part.left == pytest.approx(found[0].left, abs=1.0)
    late, early = off_nominal.engine_out_cases(landing_plan, 0, [100.0, 20.0])
    assert early.left < late.left < found[0].left
