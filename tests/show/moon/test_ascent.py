"""The pictures of the ascent from the Moon show what was flown, and say so."""

from __future__ import annotations

import json

import numpy as np
import pytest

import mplan
from mplan.physics.constants import DEG
from mplan.show import moon
from mplan.show.drawn.figure import PICTURE, PLOTLY
from mplan.show.moon import ascent_path, tables

PICTURES = (moon.ascent, moon.ascent_attitude)


@pytest.fixture(scope="module")
def grounded(reference_landing):
    """A plan whose ascent stage cannot lift itself."""
    key = "elements.ascent_stage.engines.main.thrust_vacuum"
    return mplan.fly(reference_landing.change(key, "5 kN"))


@pytest.mark.parametrize("picture", PICTURES, ids=lambda x: x.__name__)
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_pictures_say_what_they_show(landing_plan, picture, theme):
    """Interactive, still and in one line of words, with units on both axes."""
    drawn = picture(landing_plan, theme=theme)
    bundle, about = drawn._repr_mimebundle_()
    assert set(bundle) == {PICTURE, PLOTLY, "image/png", "text/plain"}
    assert about["image/png"]["alt"] == bundle["text/plain"] == drawn.summary
    assert "NaN" not in json.dumps(bundle[PLOTLY])
    assert "[" in drawn.layout.xaxis.title.text
    assert "[" in drawn.layout.yaxis.title.text


def test_the_path_ends_at_the_perilune(landing_plan):
    """From the site to the height that the insertion orbit has at its lowest, within a metre."""
    path, aimed, events = ascent_path.drawing(landing_plan).traces
    assert (path["x"][0], path["y"][0]) == pytest.approx((0.0, 0.0), abs=1e-3)
    assert path["y"][-1] == pytest.approx(aimed["y"][0], abs=1e-3)
    assert (events["x"][-1], events["y"][-1]) == (path["x"][-1], path["y"][-1])
    assert path["x"][-1] < aimed["x"][-1]


def test_everything_lies_within_the_axes(landing_plan):
    """No point of a line is cut off."""
    for drawn in (ascent_path.drawing(landing_plan), ascent_path.attitude(landing_plan)):
        for trace in drawn.traces:
            for values, axis in ((trace["x"], drawn.x), (trace["y"], drawn.y)):
                assert min(axis["range"]) <= min(values) <= max(values) <= max(axis["range"])


def test_attitude_and_speed(landing_plan):
    """Upright first, then lower and lower; the speed is all there at cut-off."""
    climb = landing_plan.flight.end.lunar_ascent
    pitch, speed, over = ascent_path.attitude(landing_plan).traces
    assert pitch["y"][0] == pytest.approx(90.0)
    assert over["x"] == [climb.rise]
    steered = np.array(pitch["y"])[np.array(pitch["x"]) > climb.rise]
    assert np.all(np.diff(steered) < 0.0)
    assert speed["y"][-1] == pytest.approx(100.0)
    assert speed["y"][0] * climb.track.speed[-1] / 100.0 == pytest.approx(
        climb.track.speed[0], abs=0.01
    )
    assert f"{climb.track.pitch[-1] / DEG:.0f} deg" in moon.ascent_attitude(landing_plan).summary


@pytest.mark.parametrize("picture", PICTURES, ids=lambda x: x.__name__)
def test_without_an_ascent(grounded, picture):
    """The same traces with nothing in them, and a sentence."""
    assert grounded.flight.end.lunar_ascent is None
    drawn = picture(grounded)
    assert drawn.summary == ascent_path.NO_ASCENT
    assert all(len(trace.x) == 0 for trace in drawn.data)
    assert drawn.png()


def test_without_a_landing():
    """A mission that stays in orbit has a sentence in place of empty axes."""
    plan = mplan.fly(mplan.load("scenarios/orbit_and_return.toml"))
    for picture in PICTURES:
        assert str(picture(plan)) == tables.NO_LANDING
