"""Heating of the nose on the way through the air, over time, against what its shield bears."""

from __future__ import annotations

import numpy as np

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
    """Return convective and radiative heating and their sum [MW/m2] over time [min]."""
    look, entry = palette.look(theme), air_strokes.entry_of(plan)
    track, minutes = entry.track, entry.track["t"] / c.MINUTE
    hottest, rated = int(np.argmax(entry.heating)), entry.aeroshell.rated_heating / 1e6
    peak, last = entry.peak_heating / 1e6, float(minutes[-1])
    return Drawing(
        traces=[
            curve("both", minutes, entry.heating / 1e6, look.main),
            curve("convective", minutes, track["convective"] / 1e6, look.second, "dashdot"),
            curve("radiative", minutes, track["radiative"] / 1e6, look.good, "dot"),
            curve("rated", [0.0, last], [rated, rated], look.bad, "dash"),
            marks([(float(minutes[hottest]), peak, f"{peak:.1f} MW/m2", "top right")], look),
        ],
        x=air_strokes.axis(look, "since the entry interface [min]", last),
        y=air_strokes.axis(look, "heating of the nose [MW/m2]", 1.1 * max(rated, peak)),
        height=HEIGHT,
        summary=summary(plan),
        look=look,
    )


def summary(plan: Plan) -> str:
    """Return the picture in words."""
    entry = air_strokes.entry_of(plan)
    shell = entry.aeroshell
    return (
        f"Heating of the nose: at most {entry.peak_heating / 1e6:.2f} MW/m2 of "
        f"{shell.rated_heating / 1e6:.2f} rated, {entry.heat_load / 1e6:.0f} MJ/m2 in all of "
        f"{shell.rated_heat_load / 1e6:.0f} rated."
    )
