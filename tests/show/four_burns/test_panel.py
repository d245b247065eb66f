"""The panel of four burns without a browser: turn a slider, look at the words."""

import pytest

from mplan.show import four_burns
from mplan.studies.four_burns import sketch
from mplan.transfers import ArgumentError
from tests.show import differences

VALUES = {
    "inclination": "24.1 deg",
    "parking_altitude": "185 km",
    "lunar_altitude": "110 km",
    "time_there": "76 h",
    "stay": "70 h",
    "time_home": "68 h",
}
DEPARTURE, CRAFT = "2031-05-25 19:08", {"home_mass": 12e3, "isp": 320.0}


@pytest.fixture
def panel(monkeypatch):
    monkeypatch.setenv("MPLAN_RAISE", "1")
    return four_burns.panel(DEPARTURE, **CRAFT, **VALUES)


def test_a_move_works_the_mission_out_again(panel):
    panel.controls["time_there"].slider.value = 70.0
    wanted = sketch(DEPARTURE, **{**VALUES, "time_there": "70 h"})
    assert panel.sketch.delta_v == wanted.delta_v
    assert f"{wanted.delta_v:,.1f} m/s" in panel.shown.value
    assert f"{wanted.there.delta_v:,.1f}" in panel.shown.value


def test_what_cannot_be_is_said_and_the_last_is_kept(panel):
    before = panel.shown.value
    panel.controls["time_there"].box.value = 10.0
    assert "time_of_flight: found" in panel.trouble.value
    assert "Showing the last valid result" in panel.trouble.value
    assert panel.shown.value == before
    panel.controls["time_there"].box.value = 76.0
    assert panel.trouble.value == ""


def test_a_start_that_leads_nowhere_is_refused():
    with pytest.raises(ArgumentError, match="inclination: found"):
        four_burns.panel(DEPARTURE, **CRAFT, **{**VALUES, "inclination": "3 deg"})


def test_what_stands_in_without_a_kernel(panel):
    """Values of the sliders and the tables, for readers of a report."""
    still = panel.still().html
    assert "time to the Moon" in still
    assert panel.shown.value in still


def test_tables_have_units(panel):
    budget = four_burns.budget(panel.sketch, **CRAFT)
    assert list(budget.frame)[2:] == [
        "delta-v [m/s]",
        "mass before [t]",
        "propellant [t]",
        "mass after [t]",
    ]
    assert budget.frame["mass after [t]"].iloc[-1] == 12.0


def test_reference_values_agree_to_every_digit():
    frame = four_burns.published().frame
    assert list(frame["computed"]) == list(frame["reference"])
    assert all(frame["source"])


def test_each_burn_tells_what_a_move_did_to_it(panel):
    """A longer way there changes burns by what two sketches differ; the start tells nothing."""
    assert not differences.of(panel.shown.value)
    panel.controls["time_there"].slider.value = 80.0
    less = sketch(DEPARTURE, **{**VALUES, "time_there": "80 h"}).delta_v
    apart = less - sketch(DEPARTURE, **VALUES).delta_v
    assert f"{'+' if apart > 0 else '−'}{abs(apart):.1f} m/s" in differences.of(panel.shown.value)
    panel.board.undo.click()
    assert not differences.of(panel.shown.value)
