"""Moments of inertia against published ones."""

from __future__ import annotations

from math import pi

import pytest

from mplan.vehicle import inertia
from mplan.vehicle.inertia import Cylinder


def test_uniform_cylinder_of_the_simulation_check_cases():
    """1000 kg, 12 m, radius 1 m: 500 and 12,250 kg m2 (flight-simulation check cases, read).

    NASA Engineering and Safety Center, bodies of the orbital check cases (NASA/TM-2015-218675).
    Exact: the figures are the formula's own.
    """
    found = inertia.joined([Cylinder(1000.0, 6.0, 1.0, 12.0, hollow=False)], 12.0)
    assert found.roll == pytest.approx(500.0)
    assert found.pitch == pytest.approx(12_250.0)
    assert found.centre == pytest.approx(6.0)


SLUG_FT2 = 14.593903 * 0.3048**2  # kg m2
POUND = 0.45359237


def test_a_full_three_man_ship():
    """63,500 lb: about 34,000 slug ft2 in roll and 78,000 in pitch (mission reports, from memory).

    Module of 12,900 lb, 3.5 m long; service part of 10,200 lb dry and 4.4 m long (its nozzle, which
    weighs little, is omitted) with 40,400 lb of propellant at 1174 kg/m3; 3.9 m wide. Joined as
    the kit joins elements of a ship. Roll 20 %: its propellant stands in tanks nearer to the axis
    than the shell, not in one that fills it. Pitch 10 %: the distance between the two parts'
    centres decides it, known to a tenth of a metre in three and a half. The figures are from
    memory.
    """
    tall = 40_400.0 * POUND / 1174.0 / (pi * 1.95**2)
    bodies = [
        Cylinder(10_200.0 * POUND, 2.2, 1.95, 4.4, hollow=False),
        Cylinder(40_400.0 * POUND, 2.2, 1.95, tall, hollow=False),
        Cylinder(12_900.0 * POUND, 4.4 + 1.3, 1.95, 3.5, hollow=False),
    ]
    found = inertia.joined(bodies, 7.9)
    assert found.mass == pytest.approx(63_500.0 * POUND)
    assert found.roll == pytest.approx(34_000.0 * SLUG_FT2, rel=0.20)
    assert found.pitch == pytest.approx(78_000.0 * SLUG_FT2, rel=0.10)
