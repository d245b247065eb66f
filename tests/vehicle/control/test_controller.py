"""Which active guidance element is in control."""

from __future__ import annotations

from mplan.vehicle.control import controller

DOCKED = ("descent_stage", "ascent_stage", "service_module", "crew_module")


def test_who_controls(reference_landing):
    """The element named, the one that burns, else the launcher's and then the ship's."""
    stack = reference_landing.stack
    assert controller.of(stack, reference_landing.elements, "first_stage") == "first_stage"
    assert controller.of(stack[2:], reference_landing.elements) == "transfer_stage"
    assert controller.of(DOCKED, reference_landing.elements) == "service_module"
    assert controller.of(DOCKED, reference_landing.elements, "descent_stage") == "descent_stage"
    named = controller.of(DOCKED, reference_landing.elements, "descent_stage", named="crew_module")
    assert named == "crew_module"
    assert controller.of(("lander_bay",), reference_landing.elements) is None
