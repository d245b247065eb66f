"""What the planner writes: one TOML file, checked as a whole, in SI once read."""

from mplan.scenario.elements import Element, ElementPower, Engine, Supplies, Tank
from mplan.scenario.events import (
    Burn,
    Coast,
    Dock,
    Enter,
    Event,
    Jettison,
    Land,
    LiftOff,
    Splash,
    Stay,
    TransferCrew,
    Undock,
)
from mplan.scenario.models import (
    Allowances,
    Dates,
    LandingSite,
    LaunchSite,
    Margins,
    Mission,
    Orbits,
    Pad,
)
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.scenario import Scenario, load

__all__ = [
    "Allowances",
    "Burn",
    "Coast",
    "Dates",
    "Dock",
    "Element",
    "ElementPower",
    "Engine",
    "Enter",
    "Event",
    "Jettison",
    "Land",
    "LandingSite",
    "LaunchSite",
    "LiftOff",
    "Margins",
    "Mission",
    "Orbits",
    "Pad",
    "Problem",
    "Scenario",
    "ScenarioError",
    "Splash",
    "Stay",
    "Supplies",
    "Tank",
    "TransferCrew",
    "Undock",
    "load",
]
