"""The attitude of the lander in the descent: throttle, pitch, and where the crew see the site."""

from __future__ import annotations

import numpy as np

from mplan.physics.constants import DEG
from mplan.plan import Plan
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme
from mplan.show.moon import strokes

HEIGHT, WIDTH = 400, 640  # px, the width in a panel


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return throttle [%], pitch and look angle [deg] over the time since ignition [s]."""
    look, descent = palette.look(theme), plan.flight.end.descent
    t = throttle = pitch = sight = starts = np.zeros(0)
    if descent is not None:
        track = descent.track
        t, throttle = track.t, 100.0 * track.throttle
        pitch = track.pitch / DEG
        # before the high gate they fly on their backs, and do not look for the site
        sight = np.where(t >= descent.phase("approach").t, track.look / DEG, np.nan)
        starts = np.array([x.t for x in descent.phases])
    edge = plan.scenario.descent.window_edge / DEG
    across = strokes.upwards(float(t[-1]) if len(t) else 1.0, 8)
    names = [x.name for x in descent.phases] if descent else []
    return Drawing(
        traces=[
            strokes.line("throttle [%]", t, throttle, look.main),
            strokes.line("pitch over the horizon [deg]", t, pitch, look.bad, "dash"),
            strokes.line("site below the forward axis [deg]", t, sight, look.good, "dot"),
            strokes.line(
                "edge of the window [deg]", [0.0, across[-1]], [edge, edge], look.quiet, "dashdot"
            ),
            strokes.marks(
                "a phase begins",
                starts,
                np.full(len(starts), -4.0),
                _words(names),
                ["bottom right" for _ in names],
                look,
                "line-ns",
            ),
        ],
        x=strokes.axis(look, "time since ignition [s]", across, reach=(0.0, 1.06 * across[-1])),
        y=strokes.axis(look, "throttle [%], angles [deg]", range(0, 101, 20), reach=(-12, 104)),
        height=HEIGHT,
        summary=summary(plan),
        look=look,
    )


def _words(names: list[str]) -> list[str]:
    """Return the words under the marks; short phases at the end go without."""
    return [x if x in ("braking", "approach", "landing", "touchdown") else "" for x in names]


def summary(plan: Plan) -> str:
    """Return the picture in words."""
    descent = plan.flight.end.descent
    if descent is None:
        return strokes.NO_DESCENT
    part = descent.track.between(
        descent.phase("approach").t + 0.01, descent.phase("landing").t - 0.01
    )
    return (
        f"In the approach the throttle stands between {100 * part.throttle.min():.0f} % and "
        f"{100 * part.throttle.max():.0f} %, the thrust {part.pitch[0] / DEG:.0f} deg over the "
        f"horizon, and the site {part.look[0] / DEG:.0f} deg below the forward axis."
    )
