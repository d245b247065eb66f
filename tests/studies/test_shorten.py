"""A metre less of each stage is what flying the shortened stage gives."""

from __future__ import annotations

import pytest

import mplan
from mplan.studies import shorten
from mplan.vehicle import resize
from mplan.vehicle.ledger import filled
from mplan.vehicle.stack import on_pad


@pytest.fixture(scope="module")
def metre(landing_plan):
    return {each.element: each for each in shorten.each(landing_plan)}


def test_stages(reference_landing):
    """Stages that the stack stands on and that hold propellant of their own; no lander."""
    expected = ["first_stage", "second_stage", "transfer_stage", "service_module"]
    assert shorten.stages(reference_landing) == expected


def test_every_stage_is_a_metre_lower(metre, landing_plan):
    height = on_pad(landing_plan.scenario).height
    assert [each.height for each in metre.values()] == pytest.approx([height - 1.0] * 4)


def test_what_is_lost_is_what_flying_gives(metre, landing_plan):
    """Margins and propellant are those of the scenario that is shortened and flown by hand."""
    by_hand = mplan.fly(resize.shortened(landing_plan.scenario, "transfer_stage", 1.0))
    found = metre["transfer_stage"]
    burns = [burn for burn in by_hand.burns if burn.element == "transfer_stage"]
    assert [burn.burn for burn in found.burns] == [burn.name for burn in burns]
    assert [burn.after for burn in found.burns] == pytest.approx([x.available for x in burns])
    assert [burn.margin_after for burn in found.burns] == pytest.approx([x.margin for x in burns])
    tanks = [filled(x.scenario).propellant("transfer_stage") for x in (landing_plan, by_hand)]
    assert found.propellant == pytest.approx(tanks[0] - tanks[1])
    assert found.mass == pytest.approx(found.propellant)


def test_less_in_the_tanks_is_less_delta_v(metre):
    """No burn of a shortened stage gains; stages that burn out by plan have no margin."""
    assert all(burn.lost > 0.0 for each in metre.values() for burn in each.burns)
    (climb,) = metre["first_stage"].burns
    assert climb.margin_before is climb.margin_after is None


def test_a_metre_of_the_first_stage_weighs_most(metre):
    """A metre of kerosene and oxygen at 9.2 m against a metre of thin tanks."""
    lost = [metre[name].propellant for name in shorten.stages(metre["first_stage"].plan.scenario)]
    assert lost == sorted(lost, reverse=True)


def test_too_much(landing_plan):
    """What cannot be shortened so far says so, and no plan is made up."""
    found = shorten.fly_shortened(landing_plan, "service_module", 5.0)
    assert found.plan is None
    assert found.burns == ()
    assert found.trouble.startswith("cannot be made 5.00 m shorter")
    assert found.propellant == 0.0


def test_nothing_less_is_nothing_lost(landing_plan):
    found = shorten.fly_shortened(landing_plan, "service_module", 0.0)
    assert found.propellant == pytest.approx(0.0, abs=1e-6)
    assert [burn.lost for burn in found.burns] == pytest.approx([0.0] * len(found.burns), abs=1e-3)
