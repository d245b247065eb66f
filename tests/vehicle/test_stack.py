"""The stack on the pad, and stages made longer or shorter."""

from __future__ import annotations

from math import pi

import pytest

from mplan.vehicle import resize, stack
from mplan.vehicle.ledger import filled


def test_height_leaves_out_what_is_enclosed(first_landing):
    """Height is the sum of lengths but of those inside another element."""
    parts = first_landing.elements.values()
    outside = sum(x.length for x in parts if x.inside is None)
    assert stack.on_pad(first_landing).height == pytest.approx(outside)
    assert any(x.inside for x in parts)


def test_mass_is_everything_aboard(first_landing):
    """Lift-off mass is dry mass with growth, propellant, stores, crew and payload, by hand."""
    growth = 1.0 + first_landing.margins.mass_growth
    parts = first_landing.elements.values()
    dry = sum(x.dry_mass for x in parts) * growth
    tanks = sum(tank.load for x in parts for tank in x.tanks.values())
    stores = sum(
        x.supplies.oxygen + x.supplies.food + x.supplies.water + x.supplies.co2_absorber
        for x in parts
        if x.supplies
    )
    mission = first_landing.mission
    people = mission.crew * mission.crew_mass
    assert stack.on_pad(first_landing).mass == pytest.approx(
        dry + tanks + stores + people + mission.payload_down
    )


def test_a_longer_stage_holds_what_its_tanks_add(first_landing):
    """A metre of tank of the stage's diameter, 97 % full, at the bulk density of its load.

    Bulk density by the usual formula (1 + r) / (r / rho_o + 1 / rho_f), here with the loads.
    """
    element = first_landing.elements["second_stage"]
    hydrogen, oxygen = (element.tanks[x].load for x in ("hydrogen", "oxygen"))
    bulk = (hydrogen + oxygen) / (hydrogen / 71.0 + oxygen / 1141.0)
    metre = pi / 4.0 * element.diameter**2 * 0.97 * bulk
    longer = resize.shortened(first_landing, "second_stage", -1.0)
    gained = filled(longer).propellant("second_stage") - filled(first_landing).propellant(
        "second_stage"
    )
    assert gained == pytest.approx(metre, rel=1e-6)
    assert longer.elements["second_stage"].length == pytest.approx(element.length + 1.0)


def test_resizing_keeps_the_mixture(first_landing):
    """Both tanks change in the same proportion."""
    shorter = resize.shortened(first_landing, "transfer_stage", 1.0)
    before, after = (x.elements["transfer_stage"].tanks for x in (first_landing, shorter))
    ratio = [x["oxygen"].load / x["hydrogen"].load for x in (before, after)]
    assert ratio[0] == pytest.approx(ratio[1])
    assert after["settling"].load == before["settling"].load


def test_there_and_back_is_where_it_was(first_landing):
    """Shortening and lengthening by the same amount is no change."""
    there = resize.shortened(first_landing, "first_stage", 2.0)
    back = resize.shortened(there, "first_stage", -2.0)
    assert filled(back).propellant("first_stage") == pytest.approx(
        filled(first_landing).propellant("first_stage")
    )
