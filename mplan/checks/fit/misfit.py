"""What a misfit is told with."""

from __future__ import annotations

from mplan.checks.finding import Finding, Severity
from mplan.scenario.figures import Figures, at_most
from mplan.vehicle.geometry import Standing

SIZES = "geometry, from the element's [build]"
STATED = "geometry, from the element's stated sizes"
NEAR = 1e-6  # m: rounding is no collision


def misfit(
    severity: Severity, each: Standing, text: str, figures: Figures, basis: str = ""
) -> Finding:
    """Return a finding on an element; its sizes are those of its build, or as stated."""
    own = SIZES if each.element.build is not None else STATED
    return Finding(severity, "fit", each.name, text, figures, basis or own)


def too_large(each: Standing, text: str, most: float, is_: float, basis: str = "") -> Finding:
    """Return a finding on a size [m] that has no room: it stops the flight."""
    return misfit("stops the flight", each, text, at_most(most, is_, "m", 2), basis)
