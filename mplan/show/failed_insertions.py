"""What the arc does if insertion into lunar orbit fails: as a sentence, and as columns."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from mplan.contingencies.failed_insertion import FailedInsertion
from mplan.physics.constants import DEG, HOUR
from mplan.show.columns import Column
from mplan.show.told import told


def sentence(found: FailedInsertion) -> str:
    """Return where the arc leads, and what would bring it home, in one line."""
    text = told("if insertion fails: {}", arc(found))
    if found.perigee_after is not None and found.perigee_at is not None:
        times = (found.perigee_after / HOUR, found.perigee_at / HOUR)
        text = told("{}, {:.1 h} after perilune and {:.1 h} since lift-off", text, *times)
    when = f"{found.wait / HOUR:g} h after perilune"
    if found.correction is None or found.home_after is None:
        return told("{}; no burn {} was found that leads home", text, when)
    form = "{}; {:.1 m/s} {} lead to entry at {:.2 deg}, {:.1 h} after perilune"
    home = found.home_after / HOUR
    return told(form, text, found.correction, when, found.aimed / DEG, home)


def arc(found: FailedInsertion) -> str:
    """Return what the arc does past the Moon, with the perigee of one that comes back."""
    if found.perigee is None:
        return f"the arc {found.fate}"
    way = "" if found.prograde else ", against Earth's turn"
    if found.perigee < 0.0:
        below = -found.perigee / 1e3
        return told("the arc leads into Earth, perigee {:.0 km} below ground{}", below, way)
    entry = told(", entry at {:.2 deg}", found.angle / DEG) if found.angle is not None else ""
    perigee = found.perigee / 1e3
    return told("the arc comes back with perigee {:.0 km} up{}{}", perigee, entry, way)


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
