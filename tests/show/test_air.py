"""The entry in pictures, tables and a panel: what they show is what was flown."""

from __future__ import annotations

import json

import pytest

import mplan
from mplan.physics import constants as c
from mplan.show import air
from mplan.show.air import bank_curve, corridor_edges, load_curve, parachute_path, tables
from mplan.show.air.panel import EntryPanel
from mplan.show.drawn.figure import PICTURE, PLOTLY
from mplan.show.homeward.tables import facts as homeward_facts
from mplan.show.notebook import Words
from tests.show.differences import without

SHELL = "elements.crew_module.aeroshell"
PICTURES = (air.corridor, air.loads, air.bank, air.heating, air.parachutes)
TABLES = (air.edges, air.reach, air.track, air.descents)


@pytest.fixture(autouse=True)
def _raise(monkeypatch):
    """Let an error in a callback fail the test."""
    monkeypatch.setenv("MPLAN_RAISE", "1")


@pytest.fixture(scope="module")
def shallow(reference_landing):
    """An entry that skips out."""
    return mplan.fly(reference_landing.change("orbits.entry_angle", "-4.6 deg"))


@pytest.fixture(scope="module")
def bare(reference_landing):
    """A crew module without an aeroshell."""
    return mplan.fly(reference_landing.change(SHELL, None))


@pytest.fixture(scope="module")
def shared(reference_landing):
    return air.panel(reference_landing)


@pytest.fixture
def panel(shared):
    shared.back.click()
    return shared


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("show", PICTURES)
def test_pictures_say_what_they_show(landing_plan, show, theme):
    """Interactive, still and in words; units on both axes; nothing that is no number."""
    picture = show(landing_plan, theme=theme)
    bundle, about = picture._repr_mimebundle_()
    assert set(bundle) == {PICTURE, PLOTLY, "image/png", "text/plain"}
    assert about["image/png"]["alt"] == picture.summary
    assert "NaN" not in json.dumps(bundle[PLOTLY])
    for axis in (picture.layout.xaxis, picture.layout.yaxis):
        assert "[" in axis.title.text
        low, high = axis.range
        assert low < high == axis.tickvals[-1]


def test_curves_stay_inside_their_axes(any_plan):
    """No curve or mark is drawn beyond its picture."""
    for kind in EntryPanel.charts:
        drawing = kind.drawing(any_plan)
        for trace in drawing.traces:
            for values, axis in ((trace["x"], drawing.x), (trace["y"], drawing.y)):
                low, high = axis["range"]
                assert all(low - 0.01 <= value <= high for value in values), kind.__name__


def test_the_path_is_the_flown_one(landing_plan):
    """Altitude over speed as carried by the state; the peak in words."""
    entry = landing_plan.flight.end.entry
    path = next(
        x for x in corridor_edges.drawing(landing_plan).traces if x.get("name") == "as flown"
    )
    assert path["x"] == pytest.approx(entry.track["speed"] / 1e3, abs=1e-3)
    assert path["y"] == pytest.approx(entry.track["altitude"] / 1e3, abs=1e-3)
    assert f"{entry.peak_load:.1f} g" in load_curve.summary(landing_plan)


def test_tables_are_of_this_entry(landing_plan):
    """The flown row lies between the edges; the reach holds the splash; rows go down."""
    entry = landing_plan.flight.end.entry
    angles = air.edges(landing_plan).frame.iloc[:, 1].tolist()
    assert angles == sorted(angles)
    loads = air.edges(landing_plan).frame.iloc[:, 2].tolist()
    assert loads[0] == pytest.approx(entry.aeroshell.acceleration_limit, abs=0.1)
    ranges = air.reach(landing_plan).frame.iloc[:, 1].tolist()
    assert ranges == sorted(ranges)
    assert len(ranges) == 3
    times = air.track(landing_plan).frame.iloc[:, 0].tolist()
    assert times == sorted(times)
    speeds = tables.descent_rows(entry)["touchdown [m/s]"].tolist()
    assert speeds[2] > speeds[0]


def test_the_drift_is_told_where_wind_is_stated(reference_landing):
    """10 m/s for some six minutes."""
    windy = reference_landing.change("elements.crew_module.parachutes.wind", "10 m/s")
    entry = mplan.fly(windy).flight.end.entry
    drift = tables.descent_rows(entry)["drift with the wind [km]"]
    assert drift[0] == pytest.approx(10.0 * entry.descent.duration / 1e3, abs=0.05)


def test_shield_and_light_stand_among_the_figures(landing_plan, shallow, reference_landing):
    """What ablates against what is there; the light as the drogues open and at the splash."""
    told, entry = tables.facts(landing_plan), landing_plan.flight.end.entry
    assert f"{entry.shield_required:.1f} of 24.0 kg/m2" in told["heat shield"]
    assert told["light at drogue opening"].startswith("daylight, Sun at ")
    assert told["light at splash"] in homeward_facts(landing_plan)["splash"]
    assert "light at splash" not in tables.facts(shallow)
    unknown = mplan.fly(reference_landing.change(f"{SHELL}.effective_heat", None))
    assert tables.facts(unknown)["heat shield"].startswith("not worked out: no shield_areal_mass")


def test_nothing_is_made_up(bare):
    """Without the tables every answer is the same sentence, and there is no panel."""
    for show in (*PICTURES, *TABLES):
        assert repr(show(bare)) == tables.NOT_FLOWN
    assert isinstance(air.panel(bare.scenario), Words)
    assert tables.facts(bare) == {"entry": "not flown"}
    with pytest.raises(ValueError, match="this mission's entry is not flown"):
        corridor_edges.drawing(bare)


def test_a_skip_has_no_parachutes(shallow):
    """The picture of the path is drawn, the descent is a sentence."""
    assert repr(air.parachutes(shallow)) == repr(air.descents(shallow)) == tables.SKIPS
    assert parachute_path.summary(shallow) == parachute_path.SKIPS
    assert "leaves the air" in json.dumps(corridor_edges.drawing(shallow).traces)
    assert tables.facts(shallow)["downrange"] == "none: it skips out"


def test_published_figures_stand_beside_ours():
    """The last column but one is what the formula's publication gives."""
    text = repr(air.published())
    assert "233.9 g" in text
    assert "2.354 MW/m2" in text


# The panel


def test_a_move_is_flown(panel, reference_landing):
    """Figures and pictures are those of a flight of the changed scenario."""
    panel.controls["orbits.entry_angle"].slider.value = -6.8
    plan = mplan.fly(reference_landing.change("orbits.entry_angle", "-6.8 deg"))
    assert tables.facts(plan)["largest load"] in without(panel.words.value)
    for figure, kind in zip(panel.figures, panel.charts, strict=True):
        assert figure.shown.layout.meta == kind.drawing(plan).summary


def test_numbers_and_counts_are_written_as_the_scenario_wants_them(panel):
    """Lift over drag is a bare number, parachutes are whole."""
    panel.controls[f"{SHELL}.lift_to_drag"].slider.value = 0.2
    panel.controls["elements.crew_module.parachutes.mains.count"].slider.value = 2.0
    assert panel.trouble.value == ""
    assert panel.plan.flight.end.entry.vehicle.lift_to_drag == 0.2
    assert panel.plan.flight.end.entry.parachutes.mains.count == 2


def test_skips_and_crushes_are_shown_too(panel):
    """Sliding out of the corridor on either side redraws, and a finding says what is wrong."""
    control = panel.controls["orbits.entry_angle"]
    for angle, words in ((-4.8, "too shallow"), (-8.0, "too steep")):
        control.slider.value = angle
        assert panel.trouble.value == ""
        assert words in panel.findings.value
    control.box.value = -60.0
    assert "Not flown" in panel.trouble.value


def test_the_interface_stands_still(panel):
    """Lift and drag change what comes after the interface, not the angle there."""
    before = panel.plan.flight.end.entry.angle
    panel.controls[f"{SHELL}.drag_coefficient"].slider.value = 1.5
    assert panel.plan.flight.end.entry.angle == pytest.approx(before, abs=1e-6 * c.DEG)


def test_the_bank_goes_from_side_to_side(landing_plan):
    """The picture holds each bank until the next; the figures count the reversals, and caution."""
    entry = landing_plan.flight.end.entry
    (trace,) = bank_curve.drawing(landing_plan).traces
    angle = entry.bank / c.DEG
    assert max(trace["y"]) == pytest.approx(angle, abs=1e-3)
    assert min(trace["y"]) == pytest.approx(-angle, abs=1e-3)
    count = len(entry.flown.reversals)
    assert count >= 2
    assert tables.facts(landing_plan)["sideways"].startswith(f"{count} bank reversals")
    assert entry.miss < 3e3 < 100e3 < entry.aside
    assert "lives rest on qualified analysis" in repr(air.figures(landing_plan))


def test_the_edges_say_what_sets_them(landing_plan):
    """Load and skip at the corridor's, and what stops the planned range at its own."""
    by = air.edges(landing_plan).frame.set_index("entry")["set by"]
    assert by["steep edge, full lift up"] == "steeper takes more than 10 g"
    assert by["shallow edge, full lift down"] == "shallower skips out"
    assert "MW/m2" in by["steepest to the planned 2,400 km"]
    assert "g in a second peak" in by["shallowest to the planned 2,400 km"]
