"""Burns, and how their propellant was settled."""

from __future__ import annotations

from mplan.contract.values import Document, at
from mplan.flight.record import BurnRecord
from mplan.flight.settling import Settling
from mplan.plan import Plan


def burn(plan: Plan, burn: BurnRecord) -> Document:
    """Return a burn of a plan: when, by what, what it requires, what there is and is left."""
    return {
        "name": burn.name,
        "leg": burn.leg,
        "element": burn.element,
        "engine": burn.engine,
        "epoch_utc": at(plan, burn.elapsed),
        "elapsed_s": burn.elapsed,
        "required_m_s": burn.required,
        "available_m_s": burn.available,
        "reserved_m_s": burn.reserved,
        "margin_m_s": None if burn.burns_out else burn.margin,
        "impulse_m_s": burn.impulse,
        "losses_m_s": dict(burn.losses),
        "propellant_kg": burn.propellant,
        "mass_kg": burn.mass,
        "start": burn.start if burn.lit else None,
        "duration_s": burn.duration,
        "thrust_to_weight": burn.thrust_to_weight,
        "contact": burn.contact or None,
        "settling": burn.settling and _settling(burn.settling),
        "estimate": bool(burn.estimate),
        "estimate_from": burn.estimate or None,
    }


def _settling(done: Settling) -> Document:
    """Return how propellant was settled before a burn; null where nothing settles it."""
    return {
        "element": done.element or None,
        "engine": done.engine or None,
        "acceleration_m_s2": done.acceleration,
        "duration_s": done.duration,
        "starts": done.starts,
        "propellant_kg": done.propellant,
        "lacking_kg": done.lacks,
        "bond_number": done.bond,
    }
