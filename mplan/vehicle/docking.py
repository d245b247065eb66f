"""Docking ports: which element has one, and which fit."""

from __future__ import annotations

from mplan.scenario import Scenario

NONE = "none"
_USUAL = {"crew module": "active", "ascent stage": "passive"}  # common practice, no source


def port(scenario: Scenario, name: str) -> str:
    """Return the docking port of an element: as stated, else what its role usually has."""
    element = scenario.elements[name]
    return element.docking_port or _USUAL.get(element.role, NONE)


def fits(one: str, other: str) -> bool:
    """Return whether two ports mate: an active with a passive one, androgynous ones together."""
    return {one, other} == {"active", "passive"} or one == other == "androgynous"
