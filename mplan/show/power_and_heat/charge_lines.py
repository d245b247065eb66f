"""The state of charge of every store over the mission, its least value, what is not to be used."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mplan.checks.power import KWH
from mplan.checks.power_and_heat import ChargeCurve
from mplan.physics.constants import DAY
from mplan.scenario.wording import plain
from mplan.show.columns import clock
from mplan.show.drawn import over_days, palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme

HEIGHT = 420  # px


def drawing(curves: Sequence[ChargeCurve], theme: Theme | None = None) -> Drawing:
    """Return the charge [%] of each element's store over time [d], its least value marked."""
    look = palette.look(theme)
    end = max(float(x.t[-1]) for x in curves)
    bands = [
        over_days.band(
            f"not to be used of the {plain(x.element)}", end, 0.0, 100.0 * x.floor / x.stored, look
        )
        for x in curves
        if x.floor > 0.0
    ]
    return Drawing(
        traces=[*bands, *(_curve(x, i, look) for i, x in enumerate(curves)), _least(curves, look)],
        **over_days.axes(look, "state of charge [%]", (-5.0, 108.0), range(0, 101, 20)),
        height=HEIGHT,
        summary=summary(curves),
        look=look,
    )


def _curve(curve: ChargeCurve, i: int, look: Look) -> Trace:
    share = 100.0 * np.asarray(curve.left) / curve.stored
    return over_days.curve(
        f"{plain(curve.element)}, {curve.stored / KWH:.0f} kWh",
        curve.t,
        share,
        look.colorway[i % len(look.colorway)],
        over_days.DASHES[i % len(over_days.DASHES)],
        "%{y:.1f} % at %{x:.3f} d",
        2,
    )


def _least(curves: Sequence[ChargeCurve], look: Look) -> Trace:
    """Return marks where each store holds least."""
    return {
        "type": "scatter",
        "mode": "markers",
        "name": "least",
        "x": [round(x.least[1] / DAY, 4) for x in curves],
        "y": [round(100.0 * x.least_share, 2) for x in curves],
        "hovertext": [f"{plain(x.element)} {x.least[0] / KWH:.1f} kWh" for x in curves],
        "hoverinfo": "text",
        "marker": {"symbol": "diamond", "size": 8, "color": look.ink},
    }


def summary(curves: Sequence[ChargeCurve]) -> str:
    """Return the picture in words."""
    said = []
    for each in curves:
        least, when = each.least
        of = f"{least / KWH:.1f} of {each.stored / KWH:.1f} kWh"
        said.append(f"{plain(each.element)} {of} at {clock(when)}")
    return f"The least that each store holds: {'; '.join(said)}."
