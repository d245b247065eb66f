"""What a latitude of splash costs: the return burn over latitude, a curve for each downrange."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mplan.physics.constants import DEG
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Theme
from mplan.studies.latitudes import Reach

HEIGHT, WIDTH = 420, 860  # px, the width in a panel
DASHES = ("dot", "solid", "dash", "dashdot")
MOST = 40  # points of a curve


def drawing(reaches: Sequence[Reach], theme: Theme | None = None) -> Drawing:
    """Return the burn [m/s] over latitude [deg] for each downrange."""
    look = palette.look(theme)
    colours = (look.quiet, look.main, look.good, look.bad)
    return Drawing(
        traces=[
            _curve(reach, colour, dash)
            for reach, colour, dash in zip(reaches, colours, DASHES, strict=False)
        ],
        x=palette.axis(
            look,
            title={
                "text": "latitude of the splash (estimate), north positive [deg]",
                "standoff": 6,
            },
            fixedrange=True,
        ),
        y=palette.axis(
            look, title={"text": "return burn, impulsive [m/s]", "standoff": 6}, fixedrange=True
        ),
        height=HEIGHT,
        summary=summary(reaches),
        look=look,
    )


def summary(reaches: Sequence[Reach]) -> str:
    """Return the picture in words."""
    texts = []
    for reach in reaches:
        low, high = (x / DEG for x in reach.family.reach)
        texts.append(f"{low:.1f} deg to {high:.1f} deg {reach.downrange / 1e3:,.0f} km on")
    return f"Latitudes in reach (estimate), from the entry interface: {'; '.join(texts)}."


def _curve(reach: Reach, colour: str, dash: str) -> Trace:
    """Return one curve: a plane tilted further is another point of it."""
    some = np.linspace(0, reach.family.tilts.size - 1, MOST).astype(int)
    tilts = reach.family.tilts[some] / DEG
    return {
        "type": "scatter",
        "mode": "lines",
        "name": f"{reach.downrange / 1e3:,.0f} km from the interface",
        "x": (reach.family.latitudes[some] / DEG).tolist(),
        "y": reach.family.burns[some].tolist(),
        "line": {"color": colour, "width": 2, "dash": dash},
        "customdata": tilts.tolist(),
        "hovertemplate": "%{x:.1f} deg: %{y:.0f} m/s, plane tilted %{customdata:.0f} deg"
        "<extra></extra>",
    }
