"""Who steers, and what engines and thrusters do to a craft of known inertia."""

from __future__ import annotations

from math import radians, sin
from types import SimpleNamespace

import pytest

from mplan.vehicle import control, inertia
from mplan.vehicle.inertia import Inertia

SHIP = ("service_module", "crew_module")
DOCKED = ("descent_stage", "ascent_stage", *SHIP)


def engine(**given: object) -> SimpleNamespace:
    plain = {"purpose": "main", "count": 1, "thrust_vacuum": 100e3, "label": "Test", "gimbal": None}
    return SimpleNamespace(**{**plain, "lever_arm": None, **given})


def craft_of(**engines: SimpleNamespace) -> SimpleNamespace:
    """A scenario of one element, 10 m long and 4 m wide."""
    element = SimpleNamespace(
        engines=engines,
        role="service module",
        diameter=4.0,
        inside=None,
        beside=None,
        control_capacity=1e5,
    )
    return SimpleNamespace(stack=("ship",), elements={"ship": element})


BODY = Inertia(20e3, 4.0, 40e3, 200e3, 10.0)


def asked(scenario: SimpleNamespace, burning: str | None = None) -> control.Authority:
    lit = None if burning is None else ("ship", burning)
    return control.authority(("ship",), scenario, BODY, {"ship": 10.0}, "ship", lit)


def test_who_burns_steers(reference_landing):
    """The unit of what burns; else the launcher's while it is there, then the ship's."""
    stack = reference_landing.stack
    assert control.steering(stack, reference_landing, "first_stage") == "first_stage"
    assert control.steering(stack[2:], reference_landing) == "transfer_stage"
    assert control.steering(DOCKED, reference_landing) == "service_module"
    assert control.steering(DOCKED, reference_landing, "descent_stage") == "descent_stage"
    assert control.steering(DOCKED[:2], reference_landing) == "descent_stage"
    assert control.steering(("lander_bay",), reference_landing) is None


def test_one_gimballed_engine():
    """Pitch is thrust times sine of the gimbal times the arm; it does not roll the craft."""
    found = asked(craft_of(main=engine(gimbal=radians(5.0))), "main")
    assert found.pitch == pytest.approx(100e3 * sin(radians(5.0)) * 4.0 / 200e3)
    assert found.roll is None
    assert found.source == "gimbal of Test; no roll"


def test_several_gimballed_engines_roll_too():
    """At a quarter of the diameter from the axis, or at the arm that is stated."""
    four = {"count": 4, "gimbal": radians(5.0)}
    force = 4 * 100e3 * sin(radians(5.0))
    found = asked(craft_of(main=engine(**four)), "main")
    assert found.roll == pytest.approx(force * 1.0 / 40e3)
    stated = asked(craft_of(main=engine(**four, lever_arm=1.6)), "main")
    assert stated.roll == pytest.approx(force * 1.6 / 40e3)


def test_thrusters():
    """A quarter of them act, two at least, at half the diameter or their distance."""
    small = {"purpose": "thrusters", "thrust_vacuum": 400.0}
    found = asked(craft_of(small=engine(**small, count=16)))
    assert found.pitch == pytest.approx(4 * 400.0 * 2.0 / 200e3)
    assert found.roll == pytest.approx(4 * 400.0 * 2.0 / 40e3)
    assert found.push == pytest.approx(4 * 400.0 / 20e3)
    few = asked(craft_of(small=engine(**small, count=4, lever_arm=3.0)))
    assert few.pitch == pytest.approx(2 * 400.0 * 3.0 / 200e3)


def test_what_is_not_stated_is_not_worked_out():
    """A main engine without a gimbal angle leaves pitch open, and says so."""
    found = asked(craft_of(main=engine()), "main")
    assert (found.pitch, found.source) == (None, "gimbal of ship not stated")
    assert asked(craft_of()) == control.Authority(None, None, None, "")


def test_a_fixed_engine_leaves_it_to_thrusters():
    """With a gimbal of 0 deg thrusters alone turn the craft, powered or not."""
    small = engine(purpose="thrusters", thrust_vacuum=400.0, count=16)
    both = craft_of(main=engine(gimbal=0.0), small=small)
    assert asked(both, "main") == asked(both)


def test_thrusters_in_a_housing_do_not_fire(reference_landing):
    """The lander in its bay turns nothing; docked, the ship that steers uses its own."""
    lengths = inertia.lengths(reference_landing)
    inside = ("lander_bay", "descent_stage", "ascent_stage")
    found = control.authority(inside, reference_landing, BODY, lengths)
    assert found.source == ""
    docked = control.authority(DOCKED, reference_landing, BODY, lengths, "service_module")
    assert docked.source == "thrusters of service module"
