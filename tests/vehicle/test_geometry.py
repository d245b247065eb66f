"""Elements laid out from what they are built of, and where they stand in the stack."""

from __future__ import annotations

from itertools import pairwise
from math import cos, dist, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mplan.physics.propellants import PROPELLANTS
from mplan.vehicle import abreast, geometry, layout

LENGTHS = {  # m, of the demo elements, to a decimetre
    "first_stage": 38.2,
    "second_stage": 19.6,
    "transfer_stage": 15.8,
    "lander_bay": 8.4,
    "descent_stage": 3.3,
    "ascent_stage": 3.5,
    "service_module": 6.9,
    "crew_module": 3.6,
    "escape_tower": 8.8,
}


@pytest.mark.parametrize("name", LENGTHS)
def test_demo_lengths(name, reference_landing):
    assert geometry.length(reference_landing.elements[name]) == pytest.approx(
        LENGTHS[name], abs=0.05
    )


@pytest.mark.parametrize("name", LENGTHS)
def test_pieces_fill_the_length(name, reference_landing):
    """Pieces stand on one another without gap or overlap, from zero to the length."""
    pieces = layout.of(reference_landing.elements[name]).pieces
    ends = [piece.bottom + piece.length for piece in pieces]
    assert [piece.bottom for piece in pieces] == pytest.approx([0.0, *ends[:-1]])
    assert ends[-1] == pytest.approx(geometry.length(reference_landing.elements[name]))


@pytest.mark.parametrize("name", [x for x in LENGTHS if "stage" in x or "service" in x])
def test_tanks_hold_their_loads(name, reference_landing):
    """Every main tank's volume is its load by its density, with 3 % left free."""
    element = reference_landing.elements[name]
    for tank in layout.of(element).tanks:
        liquid = element.tanks[tank.tank].load / PROPELLANTS[tank.propellant].density
        assert tank.count * tank.vessel.volume * 0.97 == pytest.approx(liquid)
        assert tank.spare == pytest.approx(0.0, abs=1e-9)


def test_the_first_stage_by_hand(reference_landing):
    """Two tanks with domes of 0.7071 of the radius, engines, thrust structure, gap, interstage."""
    area, dome = pi / 4.0 * 9.2**2, 4.6 / 2.0**0.5
    litres = (492e3 / 820.0 + 1230e3 / 1141.0) / 0.97
    cylinders = (litres - 4 * 2.0 / 3.0 * area * dome) / area
    by_hand = (3.7 - 1.0) + 2.0 + 4 * dome + cylinders + 0.6 + 2.54
    assert geometry.length(reference_landing.elements["first_stage"]) == pytest.approx(by_hand)


def test_tanks_at_the_side_of_a_long_engine(reference_landing):
    """A long engine beside short tanks decides the height; else the tanks do."""
    longer = reference_landing.change("elements.descent_stage.engines.main.length", "3 m")
    pieces = layout.of(longer.elements["descent_stage"]).pieces
    assert "engine above the tanks" in [piece.name for piece in pieces]
    assert sum(x.length for x in pieces) == pytest.approx(3.0 + 0.85)


ARRANGEMENTS = ("first_stage", "second_stage", "service_module", "descent_stage")


@given(st.sampled_from(ARRANGEMENTS), st.floats(0.01, 4.0), st.floats(1.0, 1.5))
def test_length_never_falls_as_loads_grow(reference_landing, name, factor, more):
    element = reference_landing.elements[name]
    loads = layout.main_loads(element)
    lengths = [
        layout.of(element, {tank: f * load for tank, load in loads.items()}).length
        for f in (factor, factor * more)
    ]
    assert lengths[0] <= lengths[1] + 1e-9


@pytest.mark.parametrize("name", ["service_module", "descent_stage", "ascent_stage"])
def test_tanks_side_by_side_do_not_meet(name, reference_landing):
    """No two axes in the ring are closer than the radii, and none reaches out of the circle."""
    tanks = layout.of(reference_landing.elements[name]).tanks
    spots = abreast.spots(tanks)
    assert len(spots) == sum(tank.count for tank in tanks)
    places = [
        (x.away * cos(x.angle), x.away * sin(x.angle), x.tank.vessel.diameter / 2) for x in spots
    ]
    # Equal angles between unequal tanks: the smaller ones give up a centimetre of their gaps.
    for i, (x, y, radius) in enumerate(places):
        for other in places[:i]:
            assert dist((x, y), other[:2]) > radius + other[2] - 0.01
        assert dist((x, y), (0, 0)) + radius <= abreast.around(tanks) / 2.0 + 1e-9


def test_one_in_the_middle(reference_landing):
    """Seven equal tanks stand as six round one, three diameters across."""
    seven = reference_landing.change(
        {
            "elements.service_module.build.tanks.MMH": {"count": 3, "diameter": "1.2 m"},
            "elements.service_module.build.tanks.NTO": {"count": 4, "diameter": "1.2 m"},
        }
    )
    tanks = layout.of(seven.elements["service_module"]).tanks
    assert abreast.around(tanks) == pytest.approx(3.6)
    assert sorted(x.away for x in abreast.spots(tanks))[:2] == pytest.approx([0.0, 1.2])


def test_the_stack_stands_on_itself(reference_landing):
    """Each element stands on the one below; the lander stands on its bay's floor."""
    stack = {each.name: each for each in geometry.standing(reference_landing)}
    assert list(stack) == list(reference_landing.stack)
    carrying = [each for each in stack.values() if each.carries]
    assert carrying[0].bottom == 0.0
    for below, above in pairwise(carrying):
        assert above.bottom == pytest.approx(below.top)
    bay = stack["lander_bay"]
    assert stack["descent_stage"].bottom == pytest.approx(bay.bottom)
    assert stack["ascent_stage"].bottom == pytest.approx(stack["descent_stage"].top)
    assert stack["ascent_stage"].top < bay.top


def with_boosters(scenario):
    """The second stage stood beside the first, as a pair: a stack of boosters."""
    return scenario.change(
        {"elements.second_stage.beside": "first_stage", "elements.second_stage.bodies": 2}
    )


def test_boosters_add_width_and_no_height(reference_landing):
    """A pair beside the first stage shares the loads: a tank of each holds half of what one did."""
    paired = with_boosters(reference_landing)
    stack = {each.name: each for each in geometry.standing(paired)}
    booster = stack["second_stage"]
    assert booster.bottom == 0.0
    assert booster.axes == pytest.approx((-9.2, 9.2))
    assert geometry.width(tuple(stack.values())) == pytest.approx(3 * 9.2)
    assert geometry.foot_width(tuple(stack.values())) == pytest.approx(3 * 9.2)
    whole = layout.of(reference_landing.elements["second_stage"]).tanks
    for half, tank in zip(booster.layout.tanks, whole, strict=True):
        assert half.volume == pytest.approx(tank.volume / 2.0)
    assert stack["transfer_stage"].bottom == pytest.approx(stack["first_stage"].top)


def test_feet(reference_landing):
    """Fins and a skirt widen the foot; so do nozzles that stand out."""
    element = "elements.first_stage"
    wide = reference_landing.change(f"{element}.build.base_span", "13 m")
    assert geometry.foot(wide.elements["first_stage"]) == 13.0
    flared = reference_landing.change(f"{element}.build.skirt_diameter", "10 m")
    assert geometry.foot(flared.elements["first_stage"]) == 10.0
    # Six nozzles of 3.5 m, centres 1.2 of that apart, in a ring of just that radius.
    big = reference_landing.change(f"{element}.engines.lift.exit_diameter", "3.5 m")
    assert geometry.foot(big.elements["first_stage"]) == pytest.approx(2 * 1.2 * 3.5 + 3.5)
