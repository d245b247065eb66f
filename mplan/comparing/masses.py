"""The elements of two plans, each beside its like: what they weigh dry, and what they hold."""

from __future__ import annotations

from typing import NamedTuple

from mplan.comparing.pairing import paired
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.vehicle import mass
from mplan.vehicle.ledger import filled

ENOUGH = 0.5  # kg: what tables tell apart


class ElementMass(NamedTuple):
    """An element on the pad: what it weighs dry, with growth, and the propellant in it [kg]."""

    name: str
    dry: float
    propellant: float

    @property
    def total(self) -> float:
        """Both together [kg]."""
        return self.dry + self.propellant


class ElementPair(NamedTuple):
    """An element in two plans; None where one has none of that name."""

    a: ElementMass | None
    b: ElementMass | None

    @property
    def differs(self) -> bool:
        """Whether it weighs or holds something else, or one plan has none."""
        a, b = self
        if a is None or b is None:
            return True
        pairs = ((a.dry, b.dry), (a.propellant, b.propellant))
        return any(abs(x - y) >= ENOUGH for x, y in pairs)


def elements(a: Plan, b: Plan) -> tuple[ElementPair, ...]:
    """Return the elements of both plans by their names, of all ships, from the pad up."""
    pairs = paired(_of(a), _of(b), lambda x: x.name)
    return tuple(ElementPair(*pair) for pair in pairs)


def _of(plan: Plan) -> list[ElementMass]:
    scenario, full = plan.scenario, filled(plan.scenario)
    return [
        ElementMass(plain(x), mass.dry(scenario.elements[x], scenario), full.propellant(x))
        for x in scenario.order
    ]
