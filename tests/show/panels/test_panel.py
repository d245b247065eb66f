"""The panel without a browser: turn a slider, look at the words and at the figures."""

from __future__ import annotations

import asyncio
import gc
import shutil
import threading

import pytest

import mplan
from mplan.show import mission
from mplan.show.drawn.reference import behind
from mplan.show.mission import burn_bars
from mplan.show.panels import knobs
from mplan.show.panels import panel as panels

PARKING, PAYLOAD, OUT = "orbits.parking_altitude", "mission.payload_down", "dates.translunar_time"


@pytest.fixture(autouse=True)
def _raise(monkeypatch):
    """Let an error in a callback fail the test."""
    monkeypatch.setenv("MPLAN_RAISE", "1")


@pytest.fixture(scope="module")
def shared(reference_landing):
    return mission.panel(reference_landing)


@pytest.fixture
def sliders(shared):
    """The panel as it stands at first: one for all tests, as its figures are never let go."""
    shared.back.click()
    return shared


def test_a_move_flies_again(sliders, reference_landing, landing_plan):
    """A slider's move changes words and figures, to what a flight of that scenario gives."""
    sliders.controls[PAYLOAD].slider.value = 400.0
    flown = mplan.fly(reference_landing.change(PAYLOAD, "400 kg"), like=landing_plan)
    assert flown.verdict in sliders.verdict.value
    assert sliders.scenario.hash == flown.scenario.hash
    wanted = [round(burn.available, 1) for burn in flown.burns]
    there = next(trace for trace in sliders.figures[0].shown.data if trace.name == "available")
    assert list(there.x) == wanted


def test_rings_are_looked_for_after_an_answer_not_in_the_next(sliders):
    """What a move has left is looked through with its pictures done: nothing is owed by then."""
    collected = []

    def saw(phase, facts):
        if phase == "stop":
            collected.append(facts["generation"])

    gc.callbacks.append(saw)
    try:
        sliders.controls[PAYLOAD].slider.value = 420.0
    finally:
        gc.callbacks.remove(saw)
    assert collected[-1] == 1


def test_every_figure_follows(sliders, landing_plan):
    """A move leaves each figure as if drawn afresh over the one of the file."""
    sliders.controls[OUT].slider.value = 72.0
    for figure, kind in zip(sliders.figures, sliders.charts, strict=True):
        fresh = behind(kind.drawing(sliders.plan), kind.drawing(landing_plan), "the file")
        assert [trace["x"] for trace in figure.traces] == [trace["x"] for trace in fresh.traces]
        assert figure.shown.layout.meta == fresh.summary


def test_box_and_slider_go_together(sliders):
    control = sliders.controls[PARKING]
    control.slider.value = 200.0
    assert control.box.value == 200.0
    control.box.value = 188.5
    assert control.slider.value == 190.0, "the slider goes to its nearest step"
    assert control.box.value == 188.5, "the number that was typed is the one that counts"
    assert sliders.scenario.orbits.parking_altitude == 188.5e3


def test_what_cannot_be_flown_is_said(sliders):
    """A value out of range is refused in a sentence, and the last good picture stays."""
    before, plan = list(sliders.figures[0].shown.data[0].x), sliders.plan
    sliders.controls[PARKING].box.value = 3000.0
    assert "Not flown" in sliders.trouble.value
    assert "from 150 km to 2000 km" in sliders.trouble.value
    assert sliders.plan is plan
    assert list(sliders.figures[0].shown.data[0].x) == before
    assert sliders.controls[PARKING].box.value == 3000.0
    sliders.controls[PARKING].box.value = 190.0
    assert sliders.trouble.value == ""


def test_back_to_the_file(sliders, reference_landing):
    sliders.controls[PAYLOAD].slider.value = 400.0
    sliders.controls["dates.launch_day"].slider.value = 2.0
    sliders.back.click()
    assert sliders.scenario.changes == ()
    assert sliders.scenario.hash == reference_landing.hash


def test_save(reference_landing, tmp_path):
    """What is saved reads back as what was shown; a stranger's file is left alone."""
    shutil.copytree(reference_landing.source.parent, tmp_path / "scenarios")
    view = mission.panel(mplan.load(tmp_path / "scenarios" / "reference_landing.toml"))
    view.controls[PAYLOAD].slider.value = 260.0
    target = tmp_path / "scenarios" / "mine.toml"
    view.saving.name.value = str(target)
    view.saving.button.click()
    assert "1 change." in view.saving.saying.value
    assert mplan.load(target).hash == view.scenario.hash
    view.saving.name.value = str(tmp_path / "scenarios" / "overheight.toml")
    view.saving.button.click()
    assert "is there already" in view.saving.saying.value
    view.saving.name.value = str(tmp_path / "nowhere" / "mine.toml")
    view.saving.button.click()
    assert "Not saved" in view.saving.saying.value


@pytest.fixture
def own(reference_landing, tmp_path):
    """A panel on a copy of the mission, and the copy."""
    shutil.copytree(reference_landing.source.parent, tmp_path / "scenarios")
    file = tmp_path / "scenarios" / "reference_landing.toml"
    view = mission.panel(mplan.load(file))
    view.controls[PAYLOAD].slider.value = 260.0
    return view, file


def test_save_asks_before_it_overwrites(own):
    """The open scenario and what was saved before stay until Save as is pressed a second time."""
    view, file = own
    for target in (file, file.with_name("mine.toml")):
        if target != file:
            view.saving.name.value = str(target)
            view.saving.button.click()
            assert "1 change." in view.saving.saying.value
            view.controls[PAYLOAD].slider.value = 270.0
        before = target.read_bytes()
        view.saving.name.value = str(target)
        view.saving.button.click()
        assert "press Save as once more to overwrite it" in view.saving.saying.value
        assert target.read_bytes() == before
        view.saving.button.click()
        assert "1 change." in view.saving.saying.value
        assert mplan.load(target).hash == view.scenario.hash


def test_save_asks_anew_about_another_state_of_the_file(own):
    """The yes holds for what was there when it was asked, and for no other file."""
    view, file = own
    view.saving.name.value = str(file)
    view.saving.button.click()
    file.write_bytes(file.read_bytes() + b"\n# edited meanwhile\n")
    view.saving.button.click()
    assert "press Save as once more" in view.saving.saying.value
    assert b"edited meanwhile" in file.read_bytes()


def test_errors_show_in_the_panel(sliders, monkeypatch):
    """An error nobody foresaw is shown where people look, and not only in a log."""
    monkeypatch.setattr(panels, "fly", lambda scenario, like: 1 / 0)
    with pytest.raises(ZeroDivisionError, match="division by zero"):
        sliders.controls[PAYLOAD].slider.value = 410.0
    assert "ZeroDivisionError" in sliders.trouble.value


def test_newest_value_wins(sliders, monkeypatch):
    """Moves made during a flight are flown once, with the last of their values."""
    flown, started, go_on = [], threading.Event(), threading.Event()

    def slow(scenario, like):
        flown.append(scenario.mission.payload_down)
        started.set()
        assert go_on.wait(10.0)
        return mplan.fly(scenario, like=like)

    monkeypatch.setattr(panels, "fly", slow)
    slider = sliders.controls[PAYLOAD].slider
    first = threading.Thread(target=setattr, args=(slider, "value", 300.0))
    first.start()
    assert started.wait(10.0)
    for value in (310.0, 320.0, 330.0):
        slider.value = value
    go_on.set()
    first.join(10.0)
    assert flown == [300.0, 330.0]
    assert sliders.scenario.mission.payload_down == 330.0


def test_knobs_of_each_profile(any_plan):
    """A panel has the knobs of its profile, and each value writes back as it was read."""
    scenario = any_plan.scenario
    for knob in knobs.of(scenario):
        number = knob.read(scenario)
        again = scenario.change(knob.key, knob.write(number, scenario))
        assert knob.read(again) == pytest.approx(number)
    keys = {knob.key for knob in knobs.of(scenario)}
    assert ("orbits.flyby_altitude" in keys) == (scenario.mission.profile == "free-return flyby")


def test_without_a_kernel_there_are_words(sliders):
    """A page without a kernel shows what the sliders stood at."""
    still = sliders.still().html
    assert "Run this cell in JupyterLab" in still
    assert "185 km" in still
    assert "150 to 500 km" in still


def test_sliders_say_what_they_are(sliders):
    """Slider and box carry name, unit and range for those who cannot see them."""
    for control in sliders.controls.values():
        assert f"[{control.knob.unit}]" in control.slider.description
        assert control.box.tooltip == control.knob.hint
        assert " to " in control.knob.hint


def test_one_flight_a_move(sliders, monkeypatch):
    """A move of the slider is flown once, though its box moves too; no remedies are flown."""
    count = []

    def counted(scenario, like):
        count.append(1)
        return mplan.fly(scenario, like=like)

    monkeypatch.setattr(panels, "fly", counted)
    sliders.controls[PAYLOAD].slider.value = 420.0
    sliders.controls[PAYLOAD].box.value = 430.0
    assert len(count) == 2
    assert burn_bars.summary(sliders.plan) == sliders.figures[0].shown.layout.meta


def test_pictures_follow_words_where_a_loop_runs(sliders, reference_landing, monkeypatch):
    """Words are new at once; of moves one after the other, the last one's pictures are drawn."""
    drawn = []
    for figure in sliders.figures:
        monkeypatch.setattr(figure, "redraw", drawn.append)

    async def turn() -> None:
        for altitude in (200.0, 210.0):
            sliders.controls[PARKING].slider.value = altitude
            assert sliders.plan.verdict in sliders.verdict.value
        assert not drawn
        await asyncio.sleep(0.05)

    asyncio.run(turn())
    wanted = [chart.drawing(sliders.plan).summary for chart in sliders.charts]
    assert [drawing.summary for drawing in drawn] == wanted
