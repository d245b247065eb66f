"""Deceleration on the way through the air, over time, against its limit."""

from __future__ import annotations

from mplan.physics import constants as c
from mplan.plan import Plan
from mplan.show.air import strokes as air_strokes
from mplan.show.air.strokes import WIDTH, curve, marks
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme

__all__ = ["HEIGHT", "WIDTH", "drawing", "summary"]

HEIGHT = 300  # px


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the load of drag and lift together [g] over time [min] since the interface."""
    look, entry = palette.look(theme), air_strokes.entry_of(plan)
    minutes, limit = entry.track["t"] / c.MINUTE, entry.aeroshell.acceleration_limit
    peak, last = entry.flown.peak, float(minutes[-1])
    return Drawing(
        traces=[
            curve("deceleration", minutes, entry.track["load"] / c.G0, look.entry),
            curve("limit", [0.0, last], [limit, limit], look.bad, "dash"),
            marks(
                [(peak.t / c.MINUTE, entry.peak_load, f"{entry.peak_load:.1f} g", "top right")],
                look,
            ),
        ],
        x=air_strokes.axis(look, "since the entry interface [min]", last),
        y=air_strokes.axis(look, "deceleration [g]", 1.1 * max(limit, entry.peak_load)),
        height=HEIGHT,
        summary=summary(plan),
        look=look,
    )


def summary(plan: Plan) -> str:
    """Return the picture in words."""
    entry = air_strokes.entry_of(plan)
    return (
        f"Deceleration: at most {entry.peak_load:.1f} g, {entry.flown.peak.t:.0f} s after the "
        f"interface; limit {entry.aeroshell.acceleration_limit:g} g."
    )
