"""The panel of the landing: perilune, gates, hover, thrust, and the stay."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from mplan.physics.constants import HOUR
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.stated import stated
from mplan.show import notebook, notes
from mplan.show.drawn.figure import Chart
from mplan.show.drawn.palette import Theme
from mplan.show.moon import descent_angles, descent_path, tables
from mplan.show.notebook import Words
from mplan.show.panels.knobs import Choice, Knob
from mplan.show.panels.panel import Panel
from mplan.show.reached import asks_splash
from mplan.vehicle.ledger import main_engine
from mplan.vehicle.stack import burning

KNOBS = (
    Knob("orbits.descent_perilune", "descent perilune", "km", 1e3, 8.0, 30.0, 0.5),
    Knob("descent.braking_throttle", "throttle in braking", "%", 0.01, 60.0, 100.0, 0.5),
    Knob("descent.high_gate_altitude", "high gate", "km", 1e3, 1.0, 4.0, 0.1),
    Knob("descent.high_gate_speed", "speed at the high gate", "m/s", 1.0, 60.0, 250.0, 2.0),
    Knob("descent.hover_time", "hover", "s", 1.0, 0.0, 120.0, 5.0),
    Knob("descent.redesignation", "redesignation", "m", 1.0, 0.0, 500.0, 10.0),
    Knob("mission.surface_stay", "surface stay", "h", HOUR, 2.0, 96.0, 1.0),
    Choice("lunar_ascent.plane", "ship's plane", ("flown out", "left to the rendezvous")),
)


@asks_splash
def panel(scenario: Scenario, *, theme: Theme | None = None) -> LandingPanel | Words:
    """Return the panel on a scenario, or a sentence where it does not land.

    ScenarioError where the scenario itself does not fly.
    """
    if scenario.landing_site is None:
        return notebook.sentence(tables.NO_LANDING)
    return LandingPanel(scenario, theme)


class LandingPanel(Panel):
    """Figures and pictures of the landing."""

    charts = (
        Chart(descent_path.drawing, descent_path.WIDTH),
        Chart(descent_path.near, descent_path.WIDTH),
        Chart(descent_angles.drawing, descent_angles.WIDTH),
    )

    def knobs(self, scenario: Scenario) -> Iterable[Knob | Choice]:
        """Return the knobs of the landing, with the thrust of the engine that lands."""
        above = scenario.orbits.heights_above or "sphere"
        low = replace(KNOBS[0], label=f"perilune above the {above}")
        others = [x for x in KNOBS[1:] if _read(x, scenario)]
        return [low, *others, _thrust(scenario)]

    def told(self, plan: Plan, before: Plan) -> str:
        """Return the figures of the landing."""
        return notes.facts(tables.facts(plan), tables.facts(before))


def _read(knob: Knob | Choice, scenario: Scenario) -> bool:
    """Tell whether a mission states what a knob moves: one that stays has no stay to end."""
    return isinstance(knob, Choice) or knob.read(scenario) is not None


def _thrust(scenario: Scenario) -> Knob:
    """Return the knob of the thrust of one of the engines that land, half to twice the file's."""
    element = stated(burning(scenario, "powered descent"), "a powered descent")
    name, engine = main_engine(scenario.elements[element])
    key, now = f"elements.{element}.engines.{name}.thrust_vacuum", engine.thrust_vacuum / 1e3
    return Knob(key, "thrust of one engine", "kN", 1e3, round(now / 2.0), round(now * 2.0), 0.5)
