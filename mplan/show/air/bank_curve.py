"""To which side the lift is banked on the way through the air, over time, and its reversals."""

from __future__ import annotations

import numpy as np

from mplan.physics import constants as c
from mplan.plan import Plan
from mplan.show.air import strokes as air_strokes
from mplan.show.air.strokes import WIDTH, curve
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme

__all__ = ["HEIGHT", "WIDTH", "drawing", "summary"]

HEIGHT = 300  # px
ROUND = 180.0  # deg, to either side


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the bank angle [deg], right above zero and left below, over time [min].

    It is held from one moment to the next, and drawn so.
    """
    look, entry = palette.look(theme), air_strokes.entry_of(plan)
    minutes, angles = entry.track["t"] / c.MINUTE, entry.track["bank"] / c.DEG
    held = np.repeat(minutes, 2)[1:], np.repeat(angles, 2)[:-1]
    across = palette.axis(
        look,
        title={"text": "bank to the right [deg]", "standoff": 6},
        range=[-ROUND, ROUND],
        tickvals=[-180, -90, 0, 90, 180],
        ticktext=["-180", "left 90", "lift up", "right 90", "180"],
        fixedrange=True,
    )
    return Drawing(
        traces=[curve("bank angle", *held, look.entry)],
        x=air_strokes.axis(look, "since the entry interface [min]", float(minutes[-1])),
        y=across,
        height=HEIGHT,
        summary=summary(plan),
        look=look,
    )


def summary(plan: Plan) -> str:
    """Return the picture in words."""
    entry = air_strokes.entry_of(plan)
    times = ", ".join(f"{t:.0f} s" for t in entry.flown.reversals)
    reverses = f"it reverses after {times}" if times else "it never reverses"
    if not entry.lands:
        return f"Bank angle {entry.bank / c.DEG:.0f} deg; {reverses}, and the entry skips out."
    return (
        f"Bank angle {entry.bank / c.DEG:.0f} deg; {reverses}, and the drogues open "
        f"{entry.miss / 1e3:.1f} km from where the return was timed for."
    )
