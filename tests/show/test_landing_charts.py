"""Charts and tables of the landing and the stay: they show what was flown, and say so."""

from __future__ import annotations

import json

import numpy as np
import pytest

import mplan
from mplan.contingencies import descent_aborts
from mplan.show import moon
from mplan.show.drawn.figure import PICTURE, PLOTLY, Picture
from mplan.show.moon import abort_curves, descent_path, lift_off_curve, stay_curves, tables
from mplan.show.moon import strokes as descent_strokes
from mplan.show.moon.panel import KNOBS
from mplan.studies import stay


@pytest.fixture(scope="module", params=["light", "dark"])
def pictures(request, landing_plan):
    """Every picture of the landing, on either page."""
    theme, (down, up) = request.param, stay.landed(landing_plan)
    passes = stay.passes(landing_plan)
    window = stay.window(landing_plan, passes)
    return [
        moon.descent(landing_plan, theme=theme),
        moon.final_descent(landing_plan, theme=theme),
        moon.descent_attitude(landing_plan, theme=theme),
        Picture(abort_curves.drawing(descent_aborts.along_descent(landing_plan.flight, 8), theme)),
        Picture(stay_curves.drawing(stay.sky(landing_plan), passes, up - down, theme)),
        Picture(lift_off_curve.drawing(passes, window, up - down, theme)),
    ]


def test_pictures_say_what_they_show(pictures):
    """Interactive, still and in one line of words; units on the axes; nothing that is no number."""
    for picture in pictures:
        bundle, about = picture._repr_mimebundle_()
        assert set(bundle) == {PICTURE, PLOTLY, "image/png", "text/plain"}
        assert about["image/png"]["alt"] == bundle["text/plain"] == picture.summary
        assert "NaN" not in json.dumps(bundle[PLOTLY])
        assert "\n" not in picture.summary
        titles = [picture.layout.xaxis.title.text, picture.layout.yaxis.title.text]
        assert all("[" in title for title in titles)


def test_the_path_ends_on_the_site(landing_plan):
    """From ignition's altitude and range down to nothing left to go."""
    path = descent_path.drawing(landing_plan).traces[0]
    track = landing_plan.flight.end.descent.track
    assert path["x"][0] == pytest.approx(track.range[0] / 1e3, abs=1e-3)
    assert (path["x"][-1], path["y"][-1]) == pytest.approx((0.0, 0.0), abs=1e-3)


def test_without_a_descent_pictures_are_empty(reference_landing):
    """A plan whose descent is not flown keeps the same traces, with nothing in them."""
    weak = mplan.fly(
        reference_landing.change("elements.descent_stage.engines.main.thrust_vacuum", "12 kN")
    )
    for drawn in (moon.descent, moon.final_descent, moon.descent_attitude):
        picture = drawn(weak)
        assert picture.summary == descent_strokes.NO_DESCENT
        assert len(picture.data[0].x) == 0
        assert picture.png()
    assert "does not carry the weight" in tables.facts(weak)["landing"]
    assert tables.NO_LANDING in str(moon.phases(weak))


def test_a_mission_that_does_not_land_says_so(orbital_plan):
    """Each answer is a sentence then."""
    answers = (
        moon.descent,
        moon.final_descent,
        moon.descent_attitude,
        moon.phases,
        moon.losses,
        moon.ascent_table,
        moon.aborts,
        moon.abort_table,
        moon.sky,
        moon.lift_offs,
        moon.passes,
        moon.ship,
    )
    for answer in answers:
        assert tables.NO_LANDING in str(answer(orbital_plan))
    assert tables.facts(orbital_plan) == {"landing": "none"}


def test_phases_add_up(landing_plan):
    """The table's velocities are those of the burn."""
    told = str(moon.phases(landing_plan))
    assert "touchdown" in told
    for phase in landing_plan.flight.end.descent.phases:
        assert f"{phase.delta_v:,.0f}" in told


def test_the_ascent_from_the_ground_to_perilune(landing_plan):
    """Its table begins at rest with the ground and ends at the insertion."""
    rows = str(moon.ascent_table(landing_plan)).splitlines()
    first, last = rows[1].split(), rows[-1].split()
    assert float(first[1]) == 0.0
    perilune = landing_plan.scenario.orbits.ascent_perilune
    height = (perilune - landing_plan.scenario.landing_site.elevation) / 1e3
    assert float(last[1]) == pytest.approx(height, abs=0.01)


@pytest.mark.parametrize("most", [0.7, 1.0, 15.9, 533.0, 2154.0])
def test_ticks_go_past_what_is_shown(most):
    """Even steps from zero, at least to the largest value."""
    ticks = descent_strokes.upwards(most)
    assert ticks[0] == 0.0
    assert ticks[-1] >= most > ticks[-1] - (ticks[1] - ticks[0]) * 1.001
    assert np.allclose(np.diff(ticks), ticks[1])


@pytest.fixture(scope="module")
def panel(reference_landing):
    return moon.panel(reference_landing)


def test_a_longer_hover_is_flown(panel):
    """A move changes the plan, the words and the pictures."""
    before = panel.plan.flight.end.descent.delta_v
    words = panel.words.value
    panel.controls["descent.hover_time"].value = 20.0
    assert panel.trouble.value == ""
    assert panel.plan.flight.end.descent.delta_v > before + 5.0
    assert panel.words.value != words
    panel.controls["descent.hover_time"].value = 15.0


def test_too_little_thrust_is_shown_and_undone(panel):
    """A lander that cannot brake leaves empty pictures and a finding; back again, all is there."""
    key = "elements.descent_stage.engines.main.thrust_vacuum"
    panel.controls[key].value = 22.0
    assert panel.plan.flight.end.descent is None or not panel.plan.closes
    panel.controls[key].value = 45.0
    assert len(panel.figures[0].shown.data[0].x) > 20
    assert panel.plan.closes


def test_a_panel_needs_a_lander():
    """The knobs are those of a landing."""
    keys = {knob.key for knob in KNOBS}
    assert {"orbits.descent_perilune", "descent.high_gate_altitude"} <= keys
