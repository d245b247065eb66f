"""What thrusters draw, as the document has it."""

from __future__ import annotations

from mplan.checks.thrusters import TankAccount
from mplan.contract.values import Document


def account(found: TankAccount) -> Document:
    """Return what an element's thrusters drew, phase by phase, and what is left."""
    return {
        "element": found.element,
        "engine": found.engine,
        "estimate": True,
        "entries": [
            {
                "phase": each.phase,
                "item": each.item,
                "asked_kg": each.asked,
                "drawn_kg": each.drawn,
                "basis": each.basis,
            }
            for each in found.entries
        ],
        "attitude_kg": found.attitude,
        "lacking_kg": found.lacks,
        "left_kg": found.left,
        "reserve_kg": found.reserve,
        "margins_kg": found.margins,
        "spare_kg": found.spare,
    }
