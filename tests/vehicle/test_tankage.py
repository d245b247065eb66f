"""Volumes and lengths of tanks against integration, textbook formulas and each other."""

from __future__ import annotations

from math import pi, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from mplan.physics.propellants import PROPELLANTS
from mplan.vehicle import tankage
from mplan.vehicle.tankage import Vessel

metres = st.floats(0.5, 12.0)
shares = st.floats(0.05, 1.0)
volumes = st.floats(1.0, 5000.0)


def integrated(vessel: Vessel) -> float:
    """Volume by slices, from the lowest point of a tank with outward domes to the highest."""
    half, dome = vessel.diameter / 2.0, vessel.dome

    def slice_(height: float) -> float:
        out = max(dome - height, 0.0, height - dome - vessel.cylinder)
        return pi * half**2 * (1.0 - (out / dome) ** 2)

    edges = [dome, dome + vessel.cylinder]
    return quad(slice_, 0.0, vessel.length, points=edges, limit=200)[0]


@given(volumes, metres, shares)
def test_a_cylinder_with_domes_by_integration(volume, diameter, share):
    """The closed form is what slices add up to."""
    tank = tankage.cylinder(volume, diameter, share * diameter / 2.0)
    assert tank.volume == pytest.approx(integrated(tank), rel=1e-9)


@given(volumes, metres, shares)
def test_it_holds_what_is_asked(volume, diameter, share):
    """A tank holds its volume, or has no cylinder and holds more."""
    tank = tankage.cylinder(volume, diameter, share * diameter / 2.0)
    if tank.cylinder > 0.0:
        assert tank.volume == pytest.approx(volume)
    else:
        assert tank.volume >= volume * (1.0 - 1e-12)


def test_textbook_heads():
    """A 2:1 head holds pi D3 / 24, a hemisphere pi D3 / 12 (handbooks of pressure vessels)."""
    assert tankage.dome_volume(3.0, 0.75) == pytest.approx(pi * 27.0 / 24.0)
    assert tankage.dome_volume(3.0, 1.5) == pytest.approx(pi * 27.0 / 12.0)


@given(volumes)
def test_a_sphere_is_two_hemispheres(volume):
    tank = tankage.sphere(volume)
    assert tank.volume == pytest.approx(volume)
    assert tank.length == pytest.approx(tank.diameter)


def test_room():
    """97 kg of a liquid of 1000 kg/m3 with 3 % left free take a tenth of a cubic metre."""
    assert tankage.room(97.0, 1000.0, 0.03) == pytest.approx(0.1)


@given(st.floats(200.0, 2000.0), st.floats(200.0, 2000.0), st.sampled_from(["up", "down"]))
def test_a_common_bulkhead_parts_one_shell(lower, upper, bulge):
    """Both tanks hold what is asked, and together what one tank of their length would."""
    pair = tankage.common_bulkhead(lower, upper, 8.0, 2.0, bulge)
    assert [x.volume for x in pair] == pytest.approx([lower, upper])
    shell = Vessel(8.0, 2.0, sum(x.cylinder for x in pair))
    assert shell.volume == pytest.approx(lower + upper)


def test_the_bulkhead_saves_two_domes_less_one():
    """Beside separate tanks whose domes touch, one shell is shorter by a dome's worth of room.

    Four domes and the cylinders between become two domes; a pair of domes holds what 4/3 of a
    depth of cylinder does: the saving is 2 depths - 4/3 of a depth.
    """
    apart = [tankage.cylinder(x, 8.0, 2.0).length for x in (600.0, 900.0)]
    pair = tankage.common_bulkhead(600.0, 900.0, 8.0, 2.0, "up")
    shell = sum(x.cylinder for x in pair) + 2 * 2.0
    assert sum(apart) - shell == pytest.approx(2.0 * 2.0 - 4.0 / 3.0 * 2.0)


@given(st.integers(2, 12), metres)
def test_a_ring_of_equal_circles(count, diameter):
    """d (1 + 1 / sin(pi / n)), from the triangle of two centres and the middle."""
    expected = diameter * (1.0 + 1.0 / sin(pi / count))
    assert tankage.around([diameter] * count) == pytest.approx(expected, rel=1e-8)


def test_a_ring_of_two_kinds():
    """Four circles of 1 and 2 by turns touch in a square of sides (1 + 2) / 2.

    With centres at a and b from the middle, a + 1/2 = b + 1 and a2 + b2 = 1.5^2.
    """
    b = (-0.5 + sqrt(0.25 - 2.0 * (0.25 - 2.25))) / 2.0
    assert tankage.around([1.0, 2.0, 1.0, 2.0]) == pytest.approx(2.0 * (b + 1.0))


def test_one_alone_and_three():
    assert tankage.around([2.5]) == 2.5
    assert tankage.around([1.0, 3.0]) == pytest.approx(4.0)
    assert tankage.around([2.0] * 3) == pytest.approx(2.0 + 4.0 / sqrt(3.0))


@pytest.mark.parametrize(
    ("count", "ring", "radii"), [(1, 1, 0.0), (3, 3, 1 / sqrt(3)), (5, 5, 0.850651), (7, 6, 1.0)]
)
def test_engines_stand_where_they_take_least_room(count, ring, radii):
    """Seven stand as six round one; five in a ring of their own."""
    circle, outside = tankage.cluster(count, 1.5, 2.0)
    assert outside == ring
    assert circle == pytest.approx(1.5 + 2.0 * 2.0 * radii, rel=1e-6)


@pytest.mark.parametrize(
    ("oxidiser", "fuel", "ratio", "bulk"),
    [
        ("liquid oxygen", "liquid hydrogen", 5.5, 344.0),
        ("liquid oxygen", "kerosene", 2.56, 1028.0),
        ("NTO", "Aerozine-50", 1.6, 1174.0),
    ],
)
def test_bulk_density(oxidiser, fuel, ratio, bulk):
    """(1 + r) / (r / rho_o + 1 / rho_f), worked by hand, whole kilograms.

    Worked with `tankage.room`, which is what lays tanks out.
    """
    volumes = [
        tankage.room(load, PROPELLANTS[name].density, 0.0)
        for name, load in ((oxidiser, ratio), (fuel, 1.0))
    ]
    assert (1.0 + ratio) / sum(volumes) == pytest.approx(bulk, abs=3.0)
