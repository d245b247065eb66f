"""How long each supply of a cabin would still last, over the mission; what is kept is shaded."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mplan.checks import living
from mplan.checks.living import SupplyCurve
from mplan.flight.record import Flight
from mplan.physics.constants import DAY
from mplan.scenario.wording import plain
from mplan.show.drawn import over_days, palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme

HEIGHT = 420  # px


def drawing(flight: Flight, curves: Sequence[SupplyCurve], theme: Theme | None = None) -> Drawing:
    """Return the days that each supply of one cabin still lasts its last people, over time [d]."""
    look = palette.look(theme)
    shown = [x for x in curves if x.vital and x.days is not None]
    kept = living.contingency(flight)
    end = max((float(x.t[-1]) for x in shown), default=flight.duration)
    stated = "" if flight.scenario.contingency else ", usual"
    lines = [
        over_days.curve(
            each.use.label,
            each.t,
            each.days if each.days is not None else np.zeros_like(each.t),
            look.colorway[i % len(look.colorway)],
            over_days.DASHES[i % len(over_days.DASHES)],
            "%{y:.1f} d at %{x:.2f} d",
        )
        for i, each in enumerate(shown)
    ]
    band = over_days.band(f"to be kept ({kept / DAY:g} d{stated})", end, 0.0, kept / DAY, look)
    return Drawing(
        traces=[band, *lines],
        **over_days.axes(look, "would still last [d]"),
        height=HEIGHT,
        summary=summary(shown, kept),
        look=look,
    )


def summary(curves: Sequence[SupplyCurve], kept: float) -> str:
    """Return the picture in words."""
    if not curves:
        return "No supply of this cabin is used up."
    least = min(curves, key=lambda x: x.use.days_left or 0.0)
    days = least.use.days_left or 0.0
    others = ", ".join(
        f"{x.use.label} {x.use.days_left:.1f} d" for x in curves if x.use.days_left is not None
    )
    said = "enough" if days * DAY >= kept else "too little"
    return (
        f"At the end of the plan the {plain(least.use.element)} has left: {others}; "
        f"{least.use.label} runs out first, {said} for the {kept / DAY:g} d that are to be kept."
    )
