"""How long a slider takes in Python, from the move to the new figures. Shown, not asserted.

`tests/browser/test_slider_speed.py` has the same as the page sees it.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import count
from time import process_time

import pytest

from mplan.show import air, climb, four_burns, homeward, mission, moon, stack, translunar

STAGE, STAY = "transfer_stage: shorter by", "mission.surface_stay"
SHELL = "elements.crew_module.aeroshell.lift_to_drag"
MOVES = {
    "mission, stay": (mission.panel, STAY, 30.0, 0.5),
    "mission, payload": (mission.panel, "mission.payload_down", 200.0, 5.0),
    "going": (translunar.panel, "dates.translunar_time", 70.0, 0.5),
    "coming": (homeward.panel, "dates.transearth_time", 66.0, 0.5),
    "stack": (stack.panel, STAGE, 0.0, 0.05),
    "climb": (climb.panel, "orbits.parking_altitude", 180.0, 1.0),
    "landing": (moon.panel, "descent.hover_time", 20.0, 1.0),
    "entry": (air.panel, SHELL, 0.2, 0.01),
}


@pytest.mark.parametrize("move", MOVES.values(), ids=MOVES)
def test_move(benchmark, reference_landing, move):
    """One move of a slider: the scenario changed, flown and judged, words and figures new."""
    build, key, start, step = move
    shown = build(reference_landing)
    numbers = count()

    def turn() -> None:
        shown.controls[key].slider.value = start + step * (next(numbers) % 12)

    benchmark.pedantic(turn, rounds=12, warmup_rounds=2)
    assert shown.scenario.hash != reference_landing.hash


STAGES = {
    "scenario changed": lambda shown, stay: shown._changed({**shown._home, STAY: stay}),
    "flown and judged": lambda shown, stay: shown._fly(shown.scenario),
    "words": lambda shown, stay: shown._tell(),
    "pictures": lambda shown, stay: shown._draw(),
}


@pytest.mark.benchmark(group="stages of a move, CPU", timer=process_time)
@pytest.mark.parametrize("stage", STAGES)
def test_stage(benchmark, reference_landing, stage):
    """What a move of the mission's panel is made of, each stage by itself."""
    shown, stays = mission.panel(reference_landing), count(30.0, 0.5)

    def before() -> tuple[tuple[object, float], dict[str, object]]:
        """Do what comes before the stage, for another stay each time."""
        stay = next(stays)
        if stage in ("words", "pictures"):
            shown._shown = {**shown._home, STAY: stay}  # told and drawn over the file's
            shown.plan = shown._fly(shown._changed(shown._shown))
        elif stage == "flown and judged":
            changed = shown._changed({**shown._home, STAY: stay})
            shown.plan = replace(shown.plan, flight=replace(shown.plan.flight, scenario=changed))
        return (shown, stay), {}

    benchmark.pedantic(STAGES[stage], setup=before, rounds=6)
    assert not shown.trouble.value


def test_move_of_four_burns(benchmark):
    """One move of a slider: three legs, budget and timeline worked out anew."""
    times = {"time_there": "76 h", "stay": "70 h", "time_home": "68 h"}
    orbits = {"parking_altitude": "185 km", "lunar_altitude": "110 km", "inclination": "24.1 deg"}
    shown = four_burns.panel("2031-05-25 19:08", home_mass=12e3, isp=320.0, **orbits, **times)
    numbers = count()

    def turn() -> None:
        shown.controls["time_there"].slider.value = 70.0 + next(numbers) % 12

    benchmark.pedantic(turn, rounds=12, warmup_rounds=2)
    assert not shown.trouble.value
