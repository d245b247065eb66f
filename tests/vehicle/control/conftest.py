"""A craft of one element whose mass properties are round numbers."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from mplan.scenario.control import ControlCriteria
from mplan.vehicle.control.condition import Condition, Lit, Tasks
from mplan.vehicle.inertia import Inertia

BODY = Inertia(20e3, 4.0, 40e3, 200e3, 10.0)  # 4 m from the foot to the centre of mass


def engine(**given: object) -> SimpleNamespace:
    plain = {"purpose": "main", "count": 1, "thrust_vacuum": 100e3, "label": "Test", "gimbal": None}
    return SimpleNamespace(**{**plain, "lever_arm": None, **given})


def element(**given: object) -> SimpleNamespace:
    """Return an element 10 m long and 4 m wide."""
    plain = {"engines": {}, "role": "service module", "diameter": 4.0, "top_diameter": None}
    return SimpleNamespace(
        **{**plain, "inside": None, "beside": None, "bodies": 1, "fins": None, **given}
    )


def condition(burning: str | None = None, fins=None, bodies: int = 1, **given) -> Condition:
    """Return the ship with engines, one kind of them lit; keys of the condition in `given`."""
    named = {"tasks", "air", "controller", "criteria"}
    engines = {key: value for key, value in given.items() if key not in named}
    ship = element(engines=engines, fins=fins, bodies=bodies)
    criteria = given.get("criteria", ControlCriteria())
    lifted = {"stack": ("ship",), "order": ("ship",)}
    scenario = SimpleNamespace(**lifted, elements={"ship": ship}, control=criteria)
    lit = ()
    if burning is not None:
        rated = engines[burning]
        lit = (Lit("ship", burning, rated.count, rated.thrust_vacuum),)
    return Condition(
        when="begin",
        t=0.0,
        mass=BODY.mass,
        craft=("ship",),
        scenario=scenario,
        properties=BODY,
        lengths={"ship": 10.0},
        feet={"ship": 0.0},
        controller=given.get("controller", "ship"),
        tasks=given.get("tasks", Tasks()),
        lit=lit,
        air=given.get("air"),
    )


@pytest.fixture(name="engine")
def _engine():
    return engine


@pytest.fixture(name="condition")
def _condition():
    return condition
