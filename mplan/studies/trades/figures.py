"""The figures of a plan that a study may tell: of the whole mission, margins, room to limits."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.limits import of as limits_of
from mplan.comparing import figures as of_mission
from mplan.comparing.figures import Figure
from mplan.plan import Plan
from mplan.studies.sensitivities.differences import margins

DECISIONS = "decisions open"


def of(plan: Plan) -> dict[str, Figure]:
    """Return them by name."""
    return {each.name: each for each in (*of_mission.of(plan), *_margins(plan), *_room(plan))}


def usual(plan: Plan) -> list[str]:
    """Return the names of those of the whole mission; every table counts open decisions anyway."""
    return [each.name for each in of_mission.of(plan) if each.name != DECISIONS]


def _margins(plan: Plan) -> Iterator[Figure]:
    for name, margin in margins(plan.flight).items():
        yield Figure(f"margin after {name}", "m/s", 1, margin)


def _room(plan: Plan) -> Iterator[Figure]:
    """Yield what is left up to each limit, and what has none."""
    for each in limits_of(plan.flight):
        if each.left is not None:
            yield Figure(f"{each.kind} left, {each.name}", each.unit, each.digits, each.left)
        elif each.used is not None and "cost" in each.kind:
            yield Figure(each.kind, each.unit, each.digits, each.used)
