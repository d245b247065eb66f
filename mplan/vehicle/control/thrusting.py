"""Which thrusters hold a craft's attitude, their lever arms, and what their impulse takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from mplan.physics.constants import G0
from mplan.scenario import Element, Engine
from mplan.vehicle.control import controller
from mplan.vehicle.inertia import Inertia, LaidCraft, LaidElement
from mplan.vehicle.same import remembered

TOGETHER = 2  # fire as a couple about one axis (common practice, no source)
SHORTEST = 0.015  # s, of a pulse, where a thruster states no impulse_bit (from memory)
PULSED = 0.6  # of the specific impulse, where none is stated for pulses (common practice)


class Arms(NamedTuple):
    """Lever arms of thrusters [m]."""

    pitch: float
    roll: float


def arms(element: Element, engine: Engine, away: float) -> Arms:
    """Return lever arms as stated, else half the diameter, or in pitch how far they are `away` [m].

    That is from the centre of mass along the axis, where it is more.
    """
    half = element.diameter / 2.0
    return Arms(engine.lever_arm or max(abs(away), half), engine.lever_arm or half)


@dataclass(frozen=True)
class Thrusters:
    """Thrusters that hold the attitude of a craft with these mass properties."""

    element: str
    name: str
    engine: Engine
    arms: Arms
    properties: Inertia

    @property
    def pulse(self) -> float:
        """The smallest impulse [N s] of those that fire together about an axis."""
        one = self.engine.impulse_bit or self.engine.thrust_vacuum * SHORTEST
        return min(TOGETHER, self.engine.count) * one

    def propellant(self, impulse: float, *, pulsed: bool = False) -> float:
        """Return what an impulse [N s] takes [kg], in steady thrust or in shortest pulses."""
        steady = self.engine.isp_vacuum
        isp = (self.engine.pulse_isp or PULSED * steady) if pulsed else steady
        return impulse / (isp * G0)


def of(
    craft: LaidCraft,
    properties: Inertia,
    burning: str | None = None,
    named: str | None = None,
) -> Thrusters | None:
    """Return the thrusters of the element in control, else the first from the foot up; or None.

    What stands inside another joined element fires none.
    """
    found = _firing(craft, burning, named)
    if found is None:
        return None
    (place, key, engine), centre = found, properties.centre
    own = arms(place.element, engine, place.middle - centre)
    return Thrusters(place.name, key, engine, own, properties)


@remembered(256)  # the same for a craft from event to event
def _firing(
    craft: LaidCraft, burning: str | None, named: str | None
) -> tuple[LaidElement, str, Engine] | None:
    elements = {x.name: x.element for x in craft.places}
    first = controller.of(craft.names, elements, burning, named)
    for place in sorted(craft.places, key=lambda x: x.name != first):
        if place.element.inside in craft.feet:
            continue
        for key, engine in place.element.engines.items():
            if engine.purpose == "thrusters":
                return place, key, engine
    return None
