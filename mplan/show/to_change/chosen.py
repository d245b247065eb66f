"""What is freed and traded where the planner names nothing: keys that any mission has."""

from __future__ import annotations

from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.show.panels import knobs
from mplan.studies.sensitivities import variations
from mplan.studies.sensitivities.differences import ends
from mplan.vehicle import layout

TRADED = (
    "dates.translunar_time",
    "orbits.lunar_altitude",
    "orbits.flyby_altitude",
    "orbits.parking_altitude",
)
FREED = 2  # elements
LOAD = (0.8, 1.1)  # of what they hold now
AXES, STEPS = 2, 4  # keys that are traded, and steps of their sliders to either side


def freed(plan: Plan) -> list[str]:
    """Return the loads of the elements whose engines end with the most margin, each with a range.

    What is left over there is what a smaller load may spare. [] where no such element was flown.
    """
    elements = plan.scenario.elements
    last = ends(plan.flight).values()
    loads = {x.element: sum(layout.main_loads(elements[x.element]).values()) for x in last}
    most = {x.element: x.margin for x in sorted(last, key=lambda x: -x.margin) if x.margin > 0.0}
    there = set(variations.built(plan.scenario))
    chosen = [x for x in most if loads[x] > 0.0 and x in there][:FREED]
    return [f"elements.{x}.load={_range(loads[x])}" for x in chosen]


def _range(load: float) -> str:
    low, high = (share * load for share in LOAD)
    return f"{low:.0f} kg..{high:.0f} kg"


def traded(scenario: Scenario) -> dict[str, list[str]]:
    """Return the first keys to trade that a scenario has, each as it is and to either side.

    A key beyond what its slider spans has no sides, and is left out.
    """
    there = {knob.key: _values(knob, scenario) for knob in knobs.of(scenario)}
    varied = [key for key in TRADED if len(there.get(key, ())) > 1]
    return {key: there[key] for key in varied[:AXES]}


def _values(knob: knobs.Knob, scenario: Scenario) -> list[str]:
    now, away = knob.read(scenario) or 0.0, STEPS * knob.step
    return [knob.told(x) for x in (now - away, now, now + away) if knob.low <= x <= knob.high]
