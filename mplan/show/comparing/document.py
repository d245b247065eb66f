"""A comparison as JSON values; `comparison.schema.json` in the package is the contract.

Mission, verdict, burns, limits, findings and events have the shapes that they have in a plan's
document. A unit stands in each name, or beside the value as `unit`; what a plan has not is null.
"""

from __future__ import annotations

import json
from importlib.resources import files

from mplan.cautions import CAUTIONS
from mplan.comparing import Comparison
from mplan.comparing.masses import ElementMass
from mplan.contract import missions
from mplan.contract.burns import burn
from mplan.contract.findings import finding
from mplan.contract.limits import limit
from mplan.contract.values import Document, told, utc
from mplan.plan import Plan

FORMAT = "mplan-comparison/2"


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
            {"a": x.a and limit(x.a), "b": x.b and limit(x.b), "differs": x.differs}
            for x in comparison.limits
        ],
        "burns": [
            {"a": x.a and burn(a, x.a), "b": x.b and burn(b, x.b), "differs": x.differs}
            for x in comparison.burns
        ],
        "masses": [
            {"a": x.a and _mass(x.a), "b": x.b and _mass(x.b), "differs": x.differs}
            for x in comparison.masses
        ],
        "findings": [
            {"what": x.what, "a": x.a and finding(x.a), "b": x.b and finding(x.b)}
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


def _mass(element: ElementMass) -> Document:
    return {"name": element.name, "dry_kg": element.dry, "propellant_kg": element.propellant}


def _plan(plan: Plan) -> Document:
    return {"scenario": missions.mission(plan.scenario), "verdict": missions.verdict(plan)}
