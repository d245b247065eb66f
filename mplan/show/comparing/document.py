"""A comparison as JSON values; `comparison.schema.json` in the package is the contract.

A unit stands in each name, or beside the value as `unit`; what a plan has not is null.
"""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from mplan.cautions import CAUTIONS
from mplan.checks.finding import Finding
from mplan.checks.limits import LimitRow
from mplan.comparing import Comparison
from mplan.contract.values import told, utc
from mplan.flight.record import BurnRecord
from mplan.plan import Plan

FORMAT = "mplan-comparison/1"
Document = dict[str, Any]


def schema() -> Document:
    """Return the JSON Schema that every document obeys."""
    return json.loads(files("mplan").joinpath("comparison.schema.json").read_text("utf-8"))


def document(comparison: Comparison) -> Document:
    """Return all that was compared, what is the same too; differences are those of B less A."""
    a, b = comparison.a, comparison.b
    return {
        "format": FORMAT,
        "cautions": list(CAUTIONS),
        "same": comparison.same,
        "a": _plan(a),
        "b": _plan(b),
        "keys": [x._asdict() for x in comparison.keys],
        "figures": [
            {
                "name": x.name,
                "unit": x.unit or None,
                "a": x.a,
                "b": x.b,
                "difference": x.difference,
                "differs": x.differs,
            }
            for x in comparison.figures
        ],
        "dates": [
            {
                "name": x.name,
                "a_utc": x.a and utc(x.a),
                "b_utc": x.b and utc(x.b),
                "later_s": x.later,
                "differs": x.differs,
            }
            for x in comparison.dates
        ],
        "limits": [
            {"a": x.a and _limit(x.a), "b": x.b and _limit(x.b), "differs": x.differs}
            for x in comparison.limits
        ],
        "burns": [
            {"a": x.a and _burn(x.a), "b": x.b and _burn(x.b), "differs": x.differs}
            for x in comparison.burns
        ],
        "findings": [
            {"what": x.what, "a": x.a and _finding(x.a), "b": x.b and _finding(x.b)}
            for x in comparison.findings
        ],
        "events": [
            {
                "a": x.a and told(a, x.a),
                "b": x.b and told(b, x.b),
                "later_s": x.later,
                "differs": x.differs,
            }
            for x in comparison.moments
        ],
    }


def _plan(plan: Plan) -> Document:
    scenario = plan.scenario
    return {
        "name": scenario.mission.name,
        "profile": scenario.mission.profile,
        "file": scenario.source.name,
        "hash": scenario.hash,
        "changes": [str(x) for x in scenario.changes],
        "closes": plan.closes,
        "decisions_open": plan.decisions_open,
        "verdict": plan.verdict,
    }


def _limit(row: LimitRow) -> Document:
    return {
        "kind": row.kind,
        "of": row.name,
        "used": row.used,
        "limit": row.limit,
        "unit": row.unit or None,
        "left": row.left,
        "days_left_at_end": row.days_left,
    }


def _burn(burn: BurnRecord) -> Document:
    return {
        "name": burn.name,
        "leg": burn.leg,
        "element": burn.element,
        "engine": burn.engine,
        "required_m_s": burn.required,
        "available_m_s": burn.available,
        "reserved_m_s": burn.reserved,
        "margin_m_s": None if burn.burns_out else burn.margin,
        "propellant_kg": burn.propellant,
        "duration_s": burn.duration,
        "mass_kg": burn.mass,
        "estimate": bool(burn.estimate),
    }


def _finding(finding: Finding) -> Document:
    return {
        "severity": finding.severity,
        "check": finding.check,
        "event": finding.event,
        "text": finding.text,
        "limit": finding.limit,
        "found": finding.found,
    }
