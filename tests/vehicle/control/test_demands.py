"""What control must counter and do, each cause by hand."""

from __future__ import annotations

from math import pi, radians, sin

import pytest

from mplan.physics.constants import DEG
from mplan.scenario.control import ControlCriteria
from mplan.vehicle.control import authority, demands
from mplan.vehicle.control.condition import Airflow, Tasks

CRITERIA = ControlCriteria(
    thrust_misalignment="0.5 deg",
    centre_of_mass_offset="3 cm",
    powered_steering="0.2 deg/s2",
    attitude_hold="0.01 deg/s2",
    separation_rate="1 deg/s",
    separation_nulling_time="10 s",
    turn_angle="90 deg",
    turn_time="60 s",
    docking_rotation="0.03 deg/s2",
    docking_translation="0.05 m/s2",
    bank_angle="180 deg",
    bank_time="20 s",
    margin_factor=2.0,
)


def by_cause(at) -> dict:
    return {each.cause: each for each in demands.required(at)}


def test_thrust_misalignment_and_offset(condition, engine):
    """Thrust times sine of the angle times the arm, and thrust times the offset, over inertia."""
    found = by_cause(condition("main", main=engine(), criteria=CRITERIA))
    across = 100e3 * sin(radians(0.5))
    assert found["thrust misalignment"].pitch == pytest.approx(across * 4.0 / 200e3)
    assert found["thrust misalignment"].roll == pytest.approx(across * 0.03 / 40e3)
    assert found["centre-of-mass offset"].pitch == pytest.approx(100e3 * 0.03 / 200e3)
    four = by_cause(condition("main", main=engine(count=4), criteria=CRITERIA))
    assert four["thrust misalignment"].roll == pytest.approx(4 * across * 1.0 / 40e3)


def test_aerodynamic_moment(condition):
    """A flat-nosed cylinder: 2 on its section at the nose, 6 m above the centre of mass."""
    at = condition(air=Airflow(30e3, 0.1), criteria=CRITERIA)
    moment = 30e3 * 0.1 * 2.0 * 4.0 * pi * 6.0
    found = by_cause(at)["aerodynamic moment at the design wind"]
    assert found.pitch == pytest.approx(moment / 200e3)
    assert found.roll == 0.0


def test_tasks(condition):
    """Rates over times; a turn from rest to rest is 4 times the angle over the time squared."""
    tasks = Tasks(hold=True, turn=True, null_separation=True, dock=True, bank=True, steer=True)
    found = by_cause(condition(tasks=tasks, criteria=CRITERIA))
    degrees = {cause: (each.pitch / DEG, each.roll / DEG) for cause, each in found.items()}
    assert degrees == {
        "powered steering": pytest.approx((0.2, 0.0)),
        "attitude hold": pytest.approx((0.01, 0.01)),
        "turn to attitude": pytest.approx((0.1, 0.1)),
        "separation rate": pytest.approx((0.1, 0.0)),
        "docking": pytest.approx((0.03, 0.03)),
        "turning the lift vector": pytest.approx((0.0, 1.8)),
    }


def test_required_is_the_sum_times_the_factor(condition):
    """The worst case: every cause at once and the same way."""
    at = condition(tasks=Tasks(hold=True, dock=True), criteria=CRITERIA)
    found = authority.of(at)
    assert found.required("pitch") / DEG == pytest.approx(2.0 * 0.04)
    assert found.push_required == pytest.approx(0.1)
    assert found.share("pitch") == float("inf"), "nothing turns it"
    assert authority.of(condition()).share("pitch") == 0.0, "nothing is asked of it"
