"""What the arc does if insertion into lunar orbit fails: as a sentence, and as columns."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from mplan.contingencies.failed_insertion import FailedInsertion
from mplan.physics.constants import DEG, HOUR
from mplan.show.columns import Column


def sentence(found: FailedInsertion) -> str:
    """Return where the arc leads, and what would bring it home, in one line."""
    text = f"if insertion fails: {arc(found)}"
    if found.perigee_after is not None and found.perigee_at is not None:
        text += f", {found.perigee_after / HOUR:.1f} h after perilune"
        text += f" and {found.perigee_at / HOUR:.1f} h since lift-off"
    when = f"{found.wait / HOUR:g} h after perilune"
    if found.correction is None or found.home_after is None:
        return f"{text}; no burn {when} was found that leads home"
    return (
        f"{text}; {found.correction:.1f} m/s {when} lead to entry at {found.aimed / DEG:.2f} deg, "
        f"{found.home_after / HOUR:.1f} h after perilune"
    )


def arc(found: FailedInsertion) -> str:
    """Return what the arc does past the Moon, with the perigee of one that comes back."""
    if found.perigee is None:
        return f"the arc {found.fate}"
    way = "" if found.prograde else ", against Earth's turn"
    if found.perigee < 0.0:
        return f"the arc leads into Earth, perigee {-found.perigee / 1e3:,.0f} km below ground{way}"
    entry = f", entry at {found.angle / DEG:.2f} deg" if found.angle is not None else ""
    return f"the arc comes back with perigee {found.perigee / 1e3:,.0f} km up{entry}{way}"


def _word(found: FailedInsertion) -> str:
    """Return in a word or two what becomes of the arc."""
    if found.perigee is None:
        return found.fate
    if found.angle is None:
        return "passes Earth"
    return "enters" if found.perigee >= 0.0 else "leads into Earth"


def _in(value: float | None, unit: float) -> float | None:
    return None if value is None else value / unit


def _column(header: str, of: Callable[[FailedInsertion], Any], digits: int | None = None) -> Column:
    """Return a column of launch chances; a blank for those that enter no orbit."""
    return Column(header, lambda chance: chance.failed and of(chance.failed), digits)


COLUMNS = (
    _column("if insertion fails", _word),
    _column("its perigee [km]", lambda x: _in(x.perigee, 1e3), 0),
    _column("perigee after perilune [h]", lambda x: _in(x.perigee_after, HOUR), 1),
    _column("perigee since lift-off [h]", lambda x: _in(x.perigee_at, HOUR), 1),
    _column("correction [m/s]", lambda x: x.correction, 1),
    _column("made after perilune [h]", lambda x: x.wait / HOUR, 1),
    _column("home after perilune [h]", lambda x: _in(x.home_after, HOUR), 1),
)
