"""What the planner writes: one TOML file, checked as a whole, in SI once read."""

from mplan.scenario.elements import Element, ElementPower, Engine, Tank
from mplan.scenario.events import (
    BurnEvent,
    CoastEvent,
    DockEvent,
    EnterEvent,
    Event,
    JettisonEvent,
    LandEvent,
    LiftOffEvent,
    SplashEvent,
    StayEvent,
    TransferCrewEvent,
    TransferPropellantEvent,
    UndockEvent,
)
from mplan.scenario.launch_site import LaunchSite, Pad
from mplan.scenario.living.supplies import Supplies
from mplan.scenario.models import (
    Allowances,
    Dates,
    LandingSite,
    Margins,
    Mission,
    Orbits,
)
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.scenario import Scenario, load

__all__ = [
    "Allowances",
    "BurnEvent",
    "CoastEvent",
    "Dates",
    "DockEvent",
    "Element",
    "ElementPower",
    "Engine",
    "EnterEvent",
    "Event",
    "JettisonEvent",
    "LandEvent",
    "LandingSite",
    "LaunchSite",
    "LiftOffEvent",
    "Margins",
    "Mission",
    "Orbits",
    "Pad",
    "Problem",
    "Scenario",
    "ScenarioError",
    "SplashEvent",
    "StayEvent",
    "Supplies",
    "Tank",
    "TransferCrewEvent",
    "TransferPropellantEvent",
    "UndockEvent",
    "load",
]
