"""The stack on the pad: its height, width, foot and mass."""

from __future__ import annotations

from typing import NamedTuple

from mplan.scenario import Scenario
from mplan.scenario.events import burns_of
from mplan.scenario.stated import stated
from mplan.vehicle import geometry, mass
from mplan.vehicle.ledger import filled


class Stack(NamedTuple):
    """Height and width [m], lift-off mass [kg], width of the foot [m]."""

    height: float
    width: float
    mass: float
    foot: float


def on_pad(scenario: Scenario) -> Stack:
    """Return the stack as it stands: lengths on top of each other, the widest, the sum.

    What is inside or beside another element adds no height, but where it stands out.
    """
    stack = geometry.standing(scenario)
    return Stack(
        max(each.top for each in stack),
        geometry.width(stack),
        mass.of(scenario.stack, scenario, filled(scenario), crew_on_pad(scenario), cargo(scenario)),
        geometry.foot_width(stack),
    )


def crew_on_pad(scenario: Scenario) -> dict[str, int]:
    """Return who sits where at lift-off: all in the crew module, nobody on a cargo flight."""
    crew = scenario.mission.crew
    return {crew_module(scenario): crew} if crew else {}


def cargo(scenario: Scenario) -> dict[str, float]:
    """Return the payload [kg] by the element that carries it out.

    What lands, if anything does; else the crew module, or what burns into lunar orbit without one.
    What another ship lifts is loaded on that one's pad.
    """
    lands = burning(scenario, "powered descent") or with_role(scenario, "descent stage")
    carrier = lands or with_role(scenario, "crew module")
    carrier = carrier or burning(scenario, "lunar-orbit insertion")
    carrier = carrier or scenario.stack[-1]
    return {carrier: scenario.mission.payload_down} if carrier in scenario.stack else {}


def payload_home(scenario: Scenario) -> str:
    """Return the element that first carries what is brought home: an ascent stage with a cabin."""
    up = with_role(scenario, "ascent stage")
    return up if up and scenario.elements[up].seats else crew_module(scenario)


def burning(scenario: Scenario, leg: str) -> str | None:
    """Return the element that flies the first burn of a leg, if an event does."""
    return next((burn.element for burn in burns_of(scenario.events, leg)), None)


def crew_module(scenario: Scenario) -> str:
    """Return the element that the crew come home in."""
    return required_with_role(scenario, "crew module")


def required_with_role(scenario: Scenario, role: str) -> str:
    """Return the lowest element with a `role`; raise NotStated where the stack has none."""
    return stated(with_role(scenario, role), f"an element with the role {role!r}")


def with_role(scenario: Scenario, role: str) -> str | None:
    """Return the lowest element of the stack with a `role`, else one to be met, or None."""
    names = dict.fromkeys((*scenario.stack, *scenario.elements))
    return next((n for n in names if scenario.elements[n].role == role), None)
