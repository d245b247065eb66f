"""A sizing as JSON values; `sizing.schema.json` in the package is the contract.

A unit stands in each name, or beside the value as `unit`; what is not known is null.
"""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from mplan.cautions import CAUTIONS
from mplan.plan import Plan
from mplan.studies.sizing import BASIS, Active, Searched, Sized, Sizing

FORMAT = "mplan-sizing/1"
Document = dict[str, Any]


def schema() -> Document:
    """Return the JSON Schema that every document obeys."""
    return json.loads(files("mplan").joinpath("sizing.schema.json").read_text("utf-8"))


def document(found: Sizing) -> Document:
    """Return all that was found, with what holds it and what was searched."""
    scenario = found.scenario
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "scenario": {"name": scenario.mission.name, "hash": scenario.hash},
        "least": found.measure.name,
        "unit": found.measure.unit,
        "before": found.value_before / found.measure.per_unit,
        "after": None if found.value_after is None else found.value_after / found.measure.per_unit,
        "closes": found.closes,
        "estimate_basis": BASIS,
        "plan_before": _plan(found.before),
        "plan_after": _plan(found.after),
        "keys": [_key(each) for each in found.keys],
        "limits": [_limit(found, each) for each in found.active],
        "conflict": [
            {
                "limit": room.name,
                "left": room.left if room.numbered else None,
                "unit": room.unit or None,
                "moved_by_a_freed_key": room.name not in found.unmoved,
            }
            for room in found.conflict
        ],
        "combinations": [_combination(found, each) for each in found.searched],
        "flights": found.flights,
        "ended_early": found.ended or None,
        "starts": [x if x is None else x / found.measure.per_unit for x in found.starts],
        "changes": [str(x) for x in found.after.scenario.changes] if found.after else [],
    }


def _plan(plan: Plan | None) -> Document | None:
    if plan is None:
        return None
    tight = plan.tightest
    return {
        "closes": plan.closes,
        "decisions_open": plan.decisions_open,
        "verdict": plan.verdict,
        "tightest_burn": tight.name if tight else None,
        "tightest_margin_m_s": tight.margin if tight else None,
    }


def _key(each: Sized) -> Document:
    freed = each.freed
    chosen = bool(freed.options)
    return {
        "key": freed.key,
        "unit": freed.unit or None,
        "low": None if chosen else freed.low,
        "high": None if chosen else freed.high,
        "options": [x.name for x in freed.options],
        "before": freed.now if isinstance(freed.now, int | float | None) else str(freed.now),
        "after": each.value,
        "reason": each.reason,
        "limits": list(each.active),
    }


def _limit(found: Sizing, each: Active) -> Document:
    return {
        "limit": each.room.name,
        "left": each.room.left,
        "unit": each.room.unit or None,
        "worth_per_unit": None if each.price is None else each.price / found.measure.per_unit,
    }


def _combination(found: Sizing, each: Searched) -> Document:
    value = each.value
    return {
        "levels": dict(each.levels),
        "value": None if value is None else value / found.measure.per_unit,
        "outcome": each.outcome,
        "flights": each.flights,
    }
