"""The stack on the pad, and stages made longer or shorter."""

from __future__ import annotations

from math import pi

import pytest

from mplan.scenario import ScenarioError
from mplan.vehicle import geometry, resize, stack
from mplan.vehicle.ledger import filled


def test_height_leaves_out_what_is_enclosed(reference_landing):
    """Height is the sum of lengths but of those inside another element."""
    parts = reference_landing.elements.values()
    outside = sum(geometry.length(x) for x in parts if x.inside is None)
    assert stack.on_pad(reference_landing).height == pytest.approx(outside)
    assert any(x.inside for x in parts)


def test_mass_is_everything_aboard(reference_landing):
    """Lift-off mass is dry mass with growth, propellant, stores, crew and payload, by hand."""
    growth = 1.0 + reference_landing.margins.mass_growth
    parts = reference_landing.elements.values()
    dry = sum(x.dry_mass for x in parts) * growth
    tanks = sum(tank.load for x in parts for tank in x.tanks.values())
    stores = sum(
        x.supplies.oxygen
        + x.supplies.packed_food
        + x.supplies.potable_water
        + x.supplies.hygiene_water
        + x.supplies.lioh_canisters.count * x.supplies.lioh_canisters.mass
        for x in parts
        if x.supplies
    )
    mission = reference_landing.mission
    people = mission.crew * mission.crew_mass
    assert stack.on_pad(reference_landing).mass == pytest.approx(
        dry + tanks + stores + people + mission.payload_down
    )


def test_a_longer_stage_holds_what_its_tanks_add(reference_landing):
    """A metre of tank of the stage's diameter, 97 % full, at the bulk density of its load.

    Bulk density by the usual formula (1 + r) / (r / rho_o + 1 / rho_f), here with the loads.
    """
    element = reference_landing.elements["second_stage"]
    hydrogen, oxygen = (element.tanks[x].load for x in ("hydrogen", "oxygen"))
    bulk = (hydrogen + oxygen) / (hydrogen / 71.0 + oxygen / 1141.0)
    metre = pi / 4.0 * element.diameter**2 * 0.97 * bulk
    longer = resize.shortened(reference_landing, "second_stage", -1.0)
    gained = filled(longer).propellant("second_stage") - filled(reference_landing).propellant(
        "second_stage"
    )
    assert gained == pytest.approx(metre, rel=1e-6)
    before, after = (
        geometry.length(x.elements["second_stage"]) for x in (reference_landing, longer)
    )
    assert after == pytest.approx(before + 1.0)


def test_resizing_keeps_the_mixture(reference_landing):
    """Both tanks change in the same proportion."""
    shorter = resize.shortened(reference_landing, "transfer_stage", 1.0)
    before, after = (x.elements["transfer_stage"].tanks for x in (reference_landing, shorter))
    ratio = [x["oxygen"].load / x["hydrogen"].load for x in (before, after)]
    assert ratio[0] == pytest.approx(ratio[1])
    assert after["settling"].load == before["settling"].load


def test_there_and_back_is_where_it_was(reference_landing):
    """Shortening and lengthening by the same amount is no change."""
    there = resize.shortened(reference_landing, "first_stage", 2.0)
    back = resize.shortened(there, "first_stage", -2.0)
    assert filled(back).propellant("first_stage") == pytest.approx(
        filled(reference_landing).propellant("first_stage")
    )


@pytest.mark.parametrize(
    "name", ["first_stage", "second_stage", "transfer_stage", "service_module"]
)
@pytest.mark.parametrize("metres", [0.3, 1.0, -0.7])
def test_shortened_by_what_was_asked(reference_landing, name, metres):
    """Whatever the tanks are, the stack is just that much lower."""
    shorter = resize.shortened(reference_landing, name, metres)
    lower = stack.on_pad(reference_landing).height - stack.on_pad(shorter).height
    assert lower == pytest.approx(metres, abs=1e-6)


def test_narrow_tanks_lose_more_for_a_metre(reference_landing):
    """Four tubes of 1.5 m hold less than half of a 4 m tank's metre: less of the load is lost."""
    before = filled(reference_landing).propellant("service_module")
    after = filled(resize.shortened(reference_landing, "service_module", 0.5))
    tubes = before - after.propellant("service_module")
    bulk = 15260.0 / (5450.0 / 866.0 + 9810.0 / 1450.0)
    # The taller NTO tanks are cut by half a metre; MMH goes with them in the mixture ratio.
    shares = 0.5 * 2 * pi / 4 * 1.5**2 * 0.97 * 1450.0 / 9810.0
    assert tubes == pytest.approx(15260.0 * shares, rel=1e-6)
    assert tubes < 0.5 * pi / 4 * 4.0**2 * bulk


def test_shortened_too_much(reference_landing):
    """Domes and structure stay: a stage gives up no more than its cylinders."""
    text = r"elements\.service_module: cannot be made 3\.00 m shorter: without propellant it would"
    with pytest.raises(ScenarioError, match=text):
        resize.shortened(reference_landing, "service_module", 3.0)


def test_lengthened_too_much(reference_landing):
    with pytest.raises(ScenarioError, match=r"cannot be made 500\.00 m longer: with 8 times"):
        resize.shortened(reference_landing, "first_stage", -500.0)


def test_a_stage_of_stated_length(reference_landing):
    """Without a build, a stage is a cylinder of its own diameter, and its stated length follows."""
    stated = reference_landing.change(
        {"elements.first_stage.build": None, "elements.first_stage.length": "40 m"}
    )
    shorter = resize.shortened(stated, "first_stage", 1.0)
    assert shorter.elements["first_stage"].length == pytest.approx(39.0)
    lost = filled(stated).propellant("first_stage") - filled(shorter).propellant("first_stage")
    per_metre = 1.0 / resize.length_per_kilogram(stated.elements["first_stage"])
    assert lost == pytest.approx(per_metre)
