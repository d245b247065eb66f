"""Control authority at one moment: required and available side by side."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from mplan.vehicle.control import actuators, demands
from mplan.vehicle.control.condition import Condition, Lit
from mplan.vehicle.control.contribution import Axis, Contribution


@dataclass(frozen=True)
class Authority:
    """Angular accelerations [rad/s2] by cause; `push` [m/s2] is that of thrusters in docking.

    What is required is the sum of its causes, the worst case, times `factor`. Where a gimbal is
    not stated, what is available is not worked out about the axes that the engine would turn.
    Everything is an estimate, as moments of inertia are.
    """

    when: str
    t: float  # s since lift-off
    mass: float  # kg
    demands: tuple[Contribution, ...]
    supplies: tuple[Contribution, ...]
    factor: float
    unstated: tuple[Lit, ...]  # engines that burn and whose gimbal is not stated
    push_required: float | None  # None where nothing docks
    push: float

    def required(self, axis: Axis) -> float:
        """Return what is required about an axis [rad/s2]."""
        return self.factor * sum(getattr(each, axis) for each in self.demands)

    def available(self, axis: Axis) -> float | None:
        """Return what is available about an axis [rad/s2]; None where it is not worked out."""
        if any(axis == "pitch" or lit.count > 1 for lit in self.unstated):
            return None
        return sum((getattr(each, axis) for each in self.supplies), 0.0)

    def both(self, axis: Axis) -> tuple[float, float]:
        """Return required and available [rad/s2]; ValueError where the latter is not worked out."""
        available = self.available(axis)
        if available is None:
            raise ValueError(f"control authority in {axis} is not worked out at {self.when}")
        return self.required(axis), available

    def share(self, axis: Axis) -> float | None:
        """Return required over available; infinite where nothing is available that is required."""
        required, available = self.required(axis), self.available(axis)
        if available is None:
            return None
        if not available:
            return inf if required else 0.0
        return required / available


def of(at: Condition) -> Authority:
    """Return the control authority in a condition."""
    factor = at.scenario.control.margin_factor
    supplies, push = actuators.available(at)
    return Authority(
        when=at.when,
        t=at.t,
        mass=at.mass,
        demands=demands.required(at),
        supplies=supplies,
        factor=factor,
        unstated=actuators.unstated(at),
        push_required=factor * at.scenario.control.docking_translation if at.tasks.dock else None,
        push=push,
    )
