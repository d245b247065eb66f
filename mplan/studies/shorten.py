"""What a metre costs: each stage made shorter, and the mission flown again."""

from __future__ import annotations

from dataclasses import dataclass

from mplan.flight.record import BurnRecord
from mplan.plan import Plan, fly
from mplan.scenario import Scenario, ScenarioError
from mplan.vehicle import geometry, layout, resize
from mplan.vehicle.ledger import filled
from mplan.vehicle.stack import on_pad


@dataclass(frozen=True)
class BurnChange:
    """One burn of a stage before and after: what its tanks give it, and its margin [m/s].

    A margin is None where the stage burns out by plan.
    """

    burn: str
    before: float
    after: float
    margin_before: float | None
    margin_after: float | None

    @property
    def lost(self) -> float:
        """What the tanks give less than before [m/s]."""
        return self.before - self.after


@dataclass(frozen=True)
class Shortened:
    """A stage `metres` shorter: propellant and lift-off mass lost [kg], the stack's height [m].

    `plan` is the mission flown again; None where it could not be, and `trouble` says why.
    """

    element: str
    metres: float
    propellant: float
    mass: float
    height: float
    burns: tuple[BurnChange, ...]
    plan: Plan | None
    trouble: str = ""


def stages(scenario: Scenario) -> list[str]:
    """Return the elements whose shortening lowers the stack: it stands on them; main tanks."""
    carrying = [each for each in geometry.standing(scenario) if each.carries]
    return [each.name for each in carrying if layout.main_loads(each.element)]


def each(plan: Plan, metres: float = 1.0) -> list[Shortened]:
    """Return every stage in turn made `metres` shorter (longer, if negative), flown again.

    None of a flight that ends before its splash: it has no whole mission to compare with.
    """
    if plan.flight.ended:
        return []
    return [fly_shortened(plan, name, metres) for name in stages(plan.scenario)]


def fly_shortened(plan: Plan, name: str, metres: float) -> Shortened:
    """Return a stage made `metres` shorter, its tanks holding that much less."""
    before = plan.scenario
    try:
        after = resize.shortened(before, name, metres)
    except ScenarioError as problem:
        return _not_flown(plan, name, metres, before, _said(problem))
    try:
        flown = fly(after)
    except ScenarioError as problem:
        return _not_flown(plan, name, metres, after, _said(problem))
    return _shortened(plan, name, metres, after, flown, "")


def _said(problem: ScenarioError) -> str:
    return problem.problems[0].text


def _not_flown(plan: Plan, name: str, metres: float, after: Scenario, text: str) -> Shortened:
    return _shortened(plan, name, metres, after, None, text)


def _shortened(
    plan: Plan, name: str, metres: float, after: Scenario, flown: Plan | None, trouble: str
) -> Shortened:
    tanks = [filled(each).propellant(name) for each in (plan.scenario, after)]
    old, new = on_pad(plan.scenario), on_pad(after)
    burns = _burns(plan, flown, name) if flown else ()
    return Shortened(
        name, metres, tanks[0] - tanks[1], old.mass - new.mass, new.height, burns, flown, trouble
    )


def _burns(before: Plan, after: Plan, name: str) -> tuple[BurnChange, ...]:
    """Return what changed for the burns of one element, as far as they are flown after it too."""
    pairs = zip(before.burns, after.burns, strict=False)
    return tuple(
        BurnChange(old.name, old.available, new.available, _margin(old), _margin(new))
        for old, new in pairs
        if old.element == name
    )


def _margin(burn: BurnRecord) -> float | None:
    return None if burn.burns_out else burn.margin
