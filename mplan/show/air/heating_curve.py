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
    heat, minutes = entry.heat, entry.heat.t / c.MINUTE
    hottest, rated = int(np.argmax(heat.flux)), entry.aeroshell.rated_heating / 1e6
    peak, upper, last = heat.peak / 1e6, heat.upper_peak / 1e6, float(minutes[-1])
    return Drawing(
        traces=[
            curve("both", minutes, heat.flux / 1e6, look.entry),
            curve("at the upper end of its error", minutes, heat.upper / 1e6, look.quiet),
            curve("convective", minutes, heat.convective / 1e6, look.second, "dashdot"),
            curve("radiative", minutes, heat.radiative / 1e6, look.good, "dot"),
            curve("rated", [0.0, last], [rated, rated], look.bad, "dash"),
            marks([(float(minutes[hottest]), peak, f"{peak:.1f} MW/m2", "top right")], look),
        ],
        x=air_strokes.axis(look, "since the entry interface [min]", last),
        y=air_strokes.axis(look, "heating of the nose [MW/m2]", 1.1 * max(rated, upper)),
        height=HEIGHT,
        summary=summary(plan),
        look=look,
    )


def summary(plan: Plan) -> str:
    """Return the picture in words."""
    entry = air_strokes.entry_of(plan)
    shell, heat = entry.aeroshell, entry.heat
    return (
        f"Heating of the nose: at most {heat.peak / 1e6:.2f} MW/m2, at the upper end of its error "
        f"{heat.upper_peak / 1e6:.2f} of {shell.rated_heating / 1e6:.2f} rated; "
        f"{heat.load / 1e6:.0f} MJ/m2 in all, at most {heat.upper_load / 1e6:.0f} of "
        f"{shell.rated_heat_load / 1e6:.0f} rated."
    )
