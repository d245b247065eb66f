"""Charts: every number of the plan is in them, in words too, and a still picture goes along."""

from __future__ import annotations

import base64
import io
import json
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

import mplan
from mplan.cautions import CAUTIONS
from mplan.physics import constants as c
from mplan.show import mission
from mplan.show.climb import curves
from mplan.show.drawn import palette
from mplan.show.drawn.figure import PICTURE, PLOTLY, Chart, file_name
from mplan.show.mission import burn_bars, event_ladder, flight_path
from mplan.studies import coasts

CHARTS = (mission.budget_bars, mission.timeline, mission.trajectory)


@pytest.fixture(scope="module")
def short_plan(reference_landing):
    """A lander so laden that the powered descent runs dry."""
    return mplan.fly(reference_landing.change("mission.payload_down", "900 kg"))


@pytest.mark.parametrize("chart", CHARTS, ids=lambda chart: chart.__name__)
def test_bundle_has_picture_and_words(any_plan, chart):
    """A cell keeps the interactive figure, a PNG and one line that says what they show."""
    bundle, about = chart(any_plan)._repr_mimebundle_()
    assert set(bundle) == {PICTURE, PLOTLY, "image/png", "text/plain"}
    assert about["image/png"]["alt"] == bundle["text/plain"]
    picture = base64.b64decode(bundle["image/png"])
    assert len(picture) < 80_000
    colours = Image.open(io.BytesIO(picture)).convert("RGB").getcolors(1 << 16)
    assert len(colours) > 10, "an empty page has one colour"
    assert json.loads(json.dumps(bundle[PLOTLY]))["layout"]["height"] > 200


@pytest.mark.parametrize("chart", CHARTS, ids=lambda chart: chart.__name__)
def test_axes_carry_units(any_plan, chart):
    """Every axis that counts something says in what."""
    layout = chart(any_plan).layout
    titles = [layout.xaxis.title.text, layout.yaxis.title.text]
    assert all("[" in title for title in titles if title)
    assert "[" in titles[0]


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_words_stand_out(landing_plan, theme):
    """Ink on paper, and words on bars, have the contrast that WCAG 2.1 asks for: 4.5 to 1."""
    look = palette.look(theme)
    pairs = [(look.ink, look.paper), (look.on_main, look.main)]
    pairs += [(look.on_second, look.second), (look.on_second, look.quiet)]
    assert all(contrast(*pair) >= 4.5 for pair in pairs)
    assert mission.budget_bars(landing_plan, theme=theme).layout.paper_bgcolor == look.paper


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, WCAG 2.1, section 1.4.3."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    parts = [x / 12.92 if x <= 0.03928 else ((x + 0.055) / 1.055) ** 2.4 for x in parts]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def test_unknown_theme_is_refused():
    with pytest.raises(ValueError, match="no theme 'pink'; there are: light, dark"):
        palette.look("pink")


def test_bars_add_up(any_plan):
    """The parts of a bar come to what is in the tanks, where that is enough."""
    bars = [trace for trace in burn_bars.drawing(any_plan).traces if trace["type"] == "bar"]
    for i, burn in enumerate(any_plan.burns):
        whole = sum(bar["x"][i] for bar in bars)
        wanted = (
            burn.required if burn.burns_out else max(burn.available, burn.required + burn.reserved)
        )
        assert whole == pytest.approx(wanted, abs=0.3), burn.name  # five parts, each to 0.1 m/s


def test_shortfall_is_said(short_plan):
    """A burn that lacks delta-v says so in words, not in colour alone."""
    dry = [burn for burn in short_plan.burns if burn.margin < 0.0 and not burn.burns_out]
    assert dry
    texts = burn_bars.drawing(short_plan).traces[-1]["text"]
    said = {burn.name: text for burn, text in zip(short_plan.burns, texts, strict=True)}
    for burn in dry:
        assert f"SHORT BY {-burn.margin:,.0f}" in said[burn.name]
        assert burn.name in burn_bars.summary(short_plan)


def test_estimates_are_marked_twice(landing_plan):
    """An estimate carries the word and a hatch; a flown burn neither."""
    needed = burn_bars.drawing(landing_plan).traces[0]
    hatches = needed["marker"]["pattern"]["shape"]
    for burn, name, hatch in zip(landing_plan.burns, needed["y"], hatches, strict=True):
        assert ("(estimate)" in name, hatch == "/") == (bool(burn.estimate), bool(burn.estimate))


def test_phases_fill_the_mission(any_plan):
    """Phases follow each other from lift-off to splash, without a gap, and end with the return."""
    spans = event_ladder.phases(any_plan)
    assert spans[0].begin == 0.0
    assert spans[-1].name == "home"
    assert spans[-1].end * c.DAY == pytest.approx(any_plan.flight.duration)
    assert all(a.end == b.begin and b.begin < b.end for a, b in pairwise(spans))


def test_crew_is_always_somewhere(any_plan):
    """At any time the crew aboard adds up to the crew."""
    lanes = event_ladder.crew(any_plan)
    days = any_plan.flight.duration / c.DAY
    for day in np.linspace(0.001, days - 0.001, 97):
        aboard = [int(s.name) for spans in lanes.values() for s in spans if s.begin <= day < s.end]
        assert sum(aboard) == any_plan.scenario.mission.crew, day


def test_rungs_have_a_row_each(any_plan):
    """No two turning points share a row, so that their words cannot overlap."""
    words = event_ladder.drawing(any_plan).traces[-1]
    assert len(set(words["y"])) == len(words["y"]) == len(event_ladder.rungs(any_plan))
    assert sum("estimate" in text for text in words["text"]) == sum(
        rung.estimate for rung in event_ladder.rungs(any_plan)
    )


def test_path_begins_and_ends_where_it_was_flown(any_plan):
    """The drawn arcs run from the injection to the Moon, and from there to the air of Earth."""
    out, home = coasts.of(any_plan)
    flown = any_plan.flight.end.outbound
    # Both from the same start under the same forces; only the sampling differs.
    assert np.linalg.norm(out.r[0] - flown.r) < 1.0
    assert np.linalg.norm(out.r[-1] - flown.perilune.r) < 10.0
    assert np.linalg.norm(home.r[-1]) == pytest.approx(c.R_EARTH + c.ENTRY_INTERFACE, abs=22e3)
    assert home.t[0] >= out.t[-1]


def test_hours_are_marked(landing_plan):
    """Every twelfth hour of either coast has its dot, the first outbound one at 12 h."""
    marks = next(t for t in flight_path.drawing(landing_plan).traces if t["mode"] == "markers+text")
    hours = [int(text.split()[0]) for text in marks["text"]]
    assert hours[0] == 12
    assert all(hour % 12 == 0 for hour in hours)
    assert len(hours) == len(marks["x"])


def test_axes_are_equal(landing_plan):
    """A kilometre is as long across as it is up."""
    assert mission.trajectory(landing_plan).layout.yaxis.scaleanchor == "x"


def test_a_picture_is_saved_under_mission_and_name(landing_plan):
    """The page gets a file's name made of the scenario's and the picture's, and the caution."""
    bundle, _ = mission.budget_bars(landing_plan)._repr_mimebundle_()
    name = f"{landing_plan.scenario.source.stem}_budget_bars"
    assert bundle[PICTURE] == {"name": name, "caution": CAUTIONS[0]}
    assert bundle[PLOTLY]["config"]["toImageButtonOptions"] == {"filename": name}


def test_names_of_files_have_no_letters_that_a_disk_refuses():
    """Slashes, quotes, spaces and dollars part words; with no letter at all a name is there."""
    assert file_name("a/b: 'c' $HOME", "bars") == "a_b_c_HOME_bars"
    assert file_name("../..") == "picture"


def test_charts_of_panels_are_named():
    """A chart is called as its file, a curve by what it is a curve of."""
    assert Chart(burn_bars.drawing, 700).name == "burn_bars"
    assert Chart(curves.PRESSURE.drawing, 700).name == "dynamic pressure"
