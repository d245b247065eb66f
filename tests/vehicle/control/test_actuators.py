"""What gimbals, thrusters and fins give a craft of known inertia."""

from __future__ import annotations

from math import pi, radians, sin, sqrt
from types import SimpleNamespace

import pytest

from mplan.vehicle.control import actuators, authority
from mplan.vehicle.control.condition import Airflow

THRUSTERS = {"purpose": "thrusters", "thrust_vacuum": 400.0}


def turning(at) -> tuple:
    """Return what turns the craft, without the push of its thrusters."""
    return actuators.available(at)[0]


def by_cause(at) -> dict:
    return {each.cause: each for each in turning(at)}


def test_one_gimballed_engine(condition, engine):
    """Moment over inertia: thrust times sine of the gimbal times the arm; it does not roll."""
    at = condition("main", main=engine(gimbal=radians(5.0)))
    (found,) = turning(at)
    assert found.pitch == pytest.approx(100e3 * sin(radians(5.0)) * 4.0 / 200e3)
    assert found.roll == 0.0
    assert found.cause == "gimbal of Test, ship"


def test_a_cluster_rolls_too(condition, engine):
    """At a quarter of the diameter from the axis, or at the arm that is stated."""
    four = {"count": 4, "gimbal": radians(5.0)}
    force = 4 * 100e3 * sin(radians(5.0))
    (found,) = turning(condition("main", main=engine(**four)))
    assert found.roll == pytest.approx(force * 1.0 / 40e3)
    (stated,) = turning(condition("main", main=engine(**four, lever_arm=1.6)))
    assert stated.roll == pytest.approx(force * 1.6 / 40e3)


def test_one_engine_out_of_a_cluster(condition, engine):
    """Three of four swivel; the one that failed leaves a moment. A single engine is no cluster."""
    whole = condition("main", main=engine(count=4, gimbal=radians(5.0)))
    at = whole.engine_out()
    (found,), (all_four,) = turning(at), turning(whole)
    assert found.pitch == pytest.approx(0.75 * all_four.pitch)
    demanded = {each.cause: each for each in authority.of(at).demands}
    assert demanded["one engine out"].pitch == pytest.approx(100e3 * 1.0 / 200e3)
    assert condition("main", main=engine(gimbal=0.1)).engine_out() is None
    pair = condition("main", bodies=2, main=engine(count=2, gimbal=0.1))
    assert pair.engine_out() is None, "each is alone on its body"


def test_thrusters(condition, engine):
    """A quarter of them act, two at least, at half the diameter or their distance."""
    at = condition(small=engine(**THRUSTERS, count=16))
    found = by_cause(at)["thrusters of ship"]
    assert found.pitch == pytest.approx(4 * 400.0 * 2.0 / 200e3)
    assert found.roll == pytest.approx(4 * 400.0 * 2.0 / 40e3)
    assert actuators.available(at)[1] == pytest.approx(4 * 400.0 / 20e3)
    few = condition(small=engine(**THRUSTERS, count=4, lever_arm=3.0))
    assert by_cause(few)["thrusters of ship"].pitch == pytest.approx(2 * 400.0 * 3.0 / 200e3)


def test_in_the_climb_the_controllers_thrusters_alone(condition, engine):
    """What rides on top stays covered until it is in orbit."""
    small = engine(**THRUSTERS, count=16)
    flowing = Airflow(1e3, 0.01)
    assert turning(condition(small=small, air=flowing, controller="stage")) == ()
    assert len(turning(condition(small=small, air=flowing))) == 1


def test_a_gimbal_that_is_not_stated(condition, engine):
    """Authority is not worked out: in pitch, and of a cluster in roll."""
    one = authority.of(condition("main", main=engine()))
    assert one.available("pitch") is None
    assert one.share("pitch") is None
    assert one.available("roll") == 0.0
    four = authority.of(condition("main", main=engine(count=4)))
    assert four.available("roll") is None


def test_a_fixed_engine_leaves_it_to_thrusters(condition, engine):
    """With a gimbal of 0 deg thrusters alone turn the craft."""
    small = engine(**THRUSTERS, count=16)
    at = condition("main", main=engine(gimbal=0.0), small=small)
    assert list(by_cause(at)) == ["thrusters of ship"]


def test_movable_fins(condition):
    """Dynamic pressure, slope and deflection, at the fins' arm; fixed ones give nothing."""
    shape = {"count": 4, "area": 2.0, "span": 1.0}
    movable = SimpleNamespace(**shape, deflection=radians(10.0))
    at = condition(fins=movable, air=Airflow(30e3, 0.1))
    # On 4 m: 4 x 4 (1/4)2 / (1 + sqrt(1 + 1/4)) of the body's 12.57 m2, 3 m below the centre.
    force = 30e3 * radians(10.0) * 1.0 / (1.0 + sqrt(1.25)) * 4.0 * pi
    assert by_cause(at)["fins of ship"].pitch == pytest.approx(force * 3.0 / 200e3)
    assert by_cause(at)["fins of ship"].roll == pytest.approx(2.0 * force * 2.5 / 40e3)
    fixed = condition(fins=SimpleNamespace(**shape, deflection=0.0), air=Airflow(30e3, 0.1))
    assert turning(fixed) == ()


def test_thrusters_in_a_housing_do_not_fire(landing_plan):
    """In its housing the lander's thrusters are omitted; the ship's turn the stack."""
    from mplan.checks.phases import phases

    told = {phase.name: phase for phase in phases(landing_plan.flight)}
    coast = told["coast to the correction"].moments[0]
    assert [each.cause for each in coast.supplies] == ["thrusters of service module"]
