"""A move keeps the file's steering and says so; once the sliders rest the climb is optimised."""

from __future__ import annotations

import asyncio

import pytest

import mplan
from mplan.show import climb, mission
from mplan.show.drawn.reference import behind
from mplan.show.panels import panel as panels
from mplan.show.panels.pause import Pause

PARKING, STAY = "orbits.parking_altitude", "mission.surface_stay"
KEPT, BEST = "steered as the optimised climb of Reference Landing", "The climb is optimised"


@pytest.fixture(autouse=True)
def _raise(monkeypatch):
    """Let an error in a callback fail the test."""
    monkeypatch.setenv("MPLAN_RAISE", "1")


@pytest.fixture(scope="module")
def shared(reference_landing):
    return mission.panel(reference_landing)


@pytest.fixture
def sliders(shared):
    shared.back.click()
    return shared


def test_a_move_is_settled(sliders, reference_landing, landing_plan):
    """Kept steering first, as a flight like the file's; then that of a flight for itself."""
    changed = reference_landing.change(PARKING, "260 km")
    sliders.controls[PARKING].slider.value = 260.0
    kept = mplan.fly(changed, like=landing_plan).flight.end.climb.left
    assert sliders.plan.flight.end.climb.left == kept
    assert KEPT in sliders.steered.value
    assert KEPT in sliders.words.value
    sliders.settle()
    best = mplan.fly(changed)
    assert sliders.plan.flight.end.climb.left == best.flight.end.climb.left
    assert best.flight.end.climb.left > kept
    assert BEST in sliders.steered.value
    assert "steered as" not in sliders.words.value
    assert best.verdict in sliders.verdict.value


def test_figures_settle_too(sliders, landing_plan):
    """They are left as if drawn afresh over the ones of the file."""
    sliders.controls[PARKING].slider.value = 270.0
    sliders.settle()
    for figure, kind in zip(sliders.figures, sliders.charts, strict=True):
        fresh = behind(kind.drawing(sliders.plan), kind.drawing(landing_plan), "the file")
        assert [trace["x"] for trace in figure.traces] == [trace["x"] for trace in fresh.traces]


def test_what_leaves_the_climb_alone_is_settled_at_once(sliders, monkeypatch):
    """The file's own climb is the best one: nothing is flown again."""
    sliders.controls[STAY].slider.value = 30.0
    assert BEST in sliders.steered.value
    monkeypatch.setattr(panels, "fly", lambda scenario: 1 / 0)
    sliders.settle()


def test_a_climb_that_fails_is_optimised_at_once(reference_landing):
    """What kept steering does not bring to orbit gets its own before any verdict is shown."""
    shown = climb.panel(reference_landing)
    shown.controls["elements.first_stage.engines.lift.count"].slider.value = 4.0
    assert not shown.plan.flight.end.climb.reached
    assert BEST in shown.steered.value


def test_it_settles_by_itself_where_a_loop_runs(sliders, monkeypatch):
    """After the pause, and once, however many moves came before."""
    monkeypatch.setattr(sliders._rest, "_length", 0.2)
    flights = []

    def counted(scenario, like=None):
        flights.append(like is None)
        return mplan.fly(scenario, like=like)

    monkeypatch.setattr(panels, "fly", counted)

    async def turn() -> None:
        for altitude in (200.0, 210.0, 220.0):
            sliders.controls[PARKING].slider.value = altitude
            await asyncio.sleep(0.02)
        assert "as soon as the sliders rest" in sliders.steered.value
        await asyncio.sleep(0.5)

    asyncio.run(turn())
    assert flights == [False, False, False, True]
    assert BEST in sliders.steered.value
    assert sliders.scenario.orbits.parking_altitude == 220e3


def test_a_refused_move_leaves_the_last_to_settle(sliders, monkeypatch):
    """What is shown is optimised all the same, and the refusal stays in sight."""
    monkeypatch.setattr(sliders._rest, "_length", 0.1)

    async def turn() -> None:
        sliders.controls[PARKING].box.value = 230.0
        sliders.controls[PARKING].box.value = 3000.0
        await asyncio.sleep(0.3)

    asyncio.run(turn())
    assert "Not flown" in sliders.trouble.value
    assert BEST in sliders.steered.value
    assert sliders.scenario.orbits.parking_altitude == 230e3


def test_without_a_loop_nothing_waits(sliders):
    """A plain script is told whose steering it is, and of no pause."""
    sliders.controls[PARKING].slider.value = 240.0
    assert KEPT in sliders.steered.value
    assert "rest" not in sliders.steered.value


def test_while_another_draws_it_waits_on(sliders):
    """A thread that holds the panel's lock is let finish."""
    sliders.controls[PARKING].slider.value = 250.0
    with sliders._lock:
        sliders.settle()
        assert KEPT in sliders.steered.value
    sliders.settle()
    assert BEST in sliders.steered.value


def test_a_pause_begins_anew_and_ends():
    """Only the last one comes to an end; one that is ended does not."""
    done = []
    pause = Pause(lambda: done.append(1), 0.05)

    async def go() -> None:
        pause.begin()
        await asyncio.sleep(0.03)
        pause.begin()
        await asyncio.sleep(0.03)
        assert pause.waits
        assert done == []
        await asyncio.sleep(0.05)
        assert done == [1]
        pause.begin()
        pause.end()
        await asyncio.sleep(0.08)

    asyncio.run(go())
    assert done == [1]
    assert not pause.waits
    pause.begin()
    assert not pause.waits, "no loop runs here"
