"""The stay: the Sun over the site, and the site's drift out of the ship's plane."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mplan.physics.constants import DEG, HOUR
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme
from mplan.show.moon import strokes
from mplan.studies.stay import Pass, Sky

HEIGHT, WIDTH = 380, 860  # px, the width in a panel


def drawing(
    sky: Sky, passes: Sequence[Pass], lift_off: float, theme: Theme | None = None
) -> Drawing:
    """Return the Sun's elevation and the drift [deg] over the time since touchdown [h]."""
    look = palette.look(theme)
    drift = [abs(x.off) / DEG for x in passes]
    sun = sky.sun / DEG
    up = strokes.upwards(max(float(np.max(sun)), *drift, 1.0))
    low = min(0.0, float(np.min(sun)))
    across = strokes.upwards(float(sky.after[-1]) / HOUR, 8)
    there = float(np.interp(lift_off, sky.after, sun))
    return Drawing(
        traces=[
            strokes.line("Sun over the site", sky.after / HOUR, sun, look.sun),
            strokes.line(
                "site out of the ship's plane",
                [x.after / HOUR for x in passes],
                drift,
                look.lunar_orbit,
                "dash",
            ),
            strokes.marks(
                "planned lift-off",
                [lift_off / HOUR],
                [there],
                ["planned lift-off"],
                ["top left"],
                look,
                "diamond",
            ),
        ],
        x=strokes.axis(look, "time since touchdown [h]", across),
        y=strokes.axis(look, "angle [deg]", up, reach=(low, up[-1])),
        height=HEIGHT,
        summary=summary(sky, passes, lift_off),
        look=look,
    )


def summary(sky: Sky, passes: Sequence[Pass], lift_off: float) -> str:
    """Return the picture in words."""
    stay = sky.sun[sky.after <= lift_off + 1.0] / DEG
    low, high = np.min(stay), np.max(stay)
    planned = min(passes, key=lambda x: abs(x.after - lift_off))
    return (
        f"Through the stay the Sun stands {low:.0f} to {high:.0f} deg over the site; "
        f"at the planned lift-off the site lies {abs(planned.off) / DEG:.1f} deg out of the "
        f"ship's plane."
    )
