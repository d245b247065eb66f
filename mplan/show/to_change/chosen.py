"""What is freed and traded where the planner names nothing: keys that any mission has."""

from __future__ import annotations

from mplan.scenario import Scenario
from mplan.show.panels import knobs

TRADED = (
    "dates.translunar_time",
    "orbits.lunar_altitude",
    "orbits.flyby_altitude",
    "orbits.parking_altitude",
)
AXES, STEPS = 2, 4  # keys that are traded, and steps of their sliders to either side


def traded(scenario: Scenario) -> dict[str, list[str]]:
    """Return the first keys to trade that a scenario has, each as it is and to either side."""
    there = {knob.key: knob for knob in knobs.of(scenario)}
    chosen = [there[key] for key in TRADED if key in there][:AXES]
    return {knob.key: _values(knob, scenario) for knob in chosen}


def _values(knob: knobs.Knob, scenario: Scenario) -> list[str]:
    now, away = knob.read(scenario) or 0.0, STEPS * knob.step
    return [knob.told(x) for x in (now - away, now, now + away) if knob.low <= x <= knob.high]
