"""Which mission a plan is of, and whether it closes."""

from __future__ import annotations

from mplan.contract.values import Document
from mplan.plan import Plan
from mplan.scenario import Scenario


def mission(scenario: Scenario) -> Document:
    """Return what a mission is called, where it is from, and what was changed in its file."""
    return {
        "name": scenario.mission.name,
        "profile": scenario.mission.profile,
        "file": scenario.source.name,
        "hash": scenario.hash,
        "changes": [str(change) for change in scenario.changes],
    }


def verdict(plan: Plan) -> Document:
    """Return whether a plan closes, and what is open."""
    return {
        "closes": plan.closes,
        "decisions_open": plan.decisions_open,
        "stops_lowered": plan.stops_lowered,
        "text": plan.verdict,
    }
