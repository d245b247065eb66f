"""What the checks found, in words and, where they are numbers, in numbers."""

from __future__ import annotations

from math import isfinite

from mplan.checks.finding import Finding
from mplan.contract.values import Document
from mplan.scenario.figures import Measured


def finding(finding: Finding) -> Document:
    """Return a finding, with the remedies that were flown."""
    return {
        "severity": finding.severity,
        "check": finding.check,
        "event": finding.event,
        "text": finding.text,
        "limit": finding.limit,
        "found": finding.found,
        "measure": finding.figures.measure and _measure(finding.figures.measure),
        "basis": finding.basis,
        "cause": finding.cause or None,
        "where": finding.where or None,
        "remedies": [
            {"change": x.change, "closes": x.closes, "outcome": x.outcome} for x in finding.remedies
        ],
        "unsolved": finding.unsolved or None,
    }


def _measure(measure: Measured) -> Document:
    """Return a limit and what was found as numbers; null where one of them is without end."""
    limit, found = (x if isfinite(x) else None for x in (measure.limit, measure.found))
    return {
        "limit": limit,
        "found": found,
        "unit": measure.unit or None,
        "at_least": measure.least,
    }
