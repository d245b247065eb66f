"""What the arc does if insertion into lunar orbit fails."""

from __future__ import annotations

from mplan.contingencies.failed_insertion import FailedInsertion
from mplan.contract.values import Document
from mplan.physics.constants import DEG, HOUR


def failed(found: FailedInsertion | None) -> Document | None:
    """Return what follows if insertion fails; null for a mission without one."""
    if found is None:
        return None
    return {
        "arc": found.fate,
        "perigee_km": _in(found.perigee, 1e3),
        "perigee_elapsed_h": _in(found.perigee_at, HOUR),
        "perigee_after_perilune_h": _in(found.perigee_after, HOUR),
        "entry_angle_deg": _in(found.angle, DEG),
        "prograde": found.prograde,
        "correction_m_s": found.correction,
        "corrected_after_perilune_h": found.wait / HOUR,
        "corrected_entry_angle_deg": found.aimed / DEG,
        "home_elapsed_h": _in(found.home, HOUR),
        "home_after_perilune_h": _in(found.home_after, HOUR),
    }


def _in(value: float | None, unit: float) -> float | None:
    return None if value is None else value / unit
