"""The ascent from the Moon: its path from the side, its attitude and its speed."""

from __future__ import annotations

import numpy as np

from mplan.physics.constants import DEG
from mplan.physics.landing.ascent import AscentFlight
from mplan.plan import Plan
from mplan.scenario import heights
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme
from mplan.show.moon import strokes

HEIGHT, WIDTH = 320, 860  # px, the width in a panel
NO_ASCENT = "No ascent from the Moon was flown."


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return altitude over the site [km] over the distance along the ground [km]."""
    look, climb = palette.look(theme), plan.flight.end.lunar_ascent
    x = y = np.zeros(0)
    marked: list[int] = []
    if climb is not None:
        x, y = climb.track.covered / 1e3, climb.track.altitude / 1e3
        marked = [0, -1]
    aimed = perilune(plan) / 1e3
    up = strokes.upwards(1.2 * aimed)
    across = strokes.upwards(float(x[-1]) if len(x) else 1.0, 8)
    return Drawing(
        traces=[
            strokes.line("ascent", x, y, look.ascent),
            strokes.line(
                "perilune of the insertion orbit",
                [0.0, across[-1]] if len(x) else [],
                [aimed, aimed] if len(x) else [],
                look.quiet,
                "dash",
            ),
            strokes.marks(
                "events",
                x[marked],
                y[marked],
                ["lift-off", "cut-off"][: len(marked)],
                ["middle right", "top left"][: len(marked)],
                look,
            ),
        ],
        x=strokes.axis(
            look,
            "along the ground from the site [km]",
            across,
            reach=(-0.01 * across[-1], across[-1]),
        ),
        y=strokes.axis(look, "altitude over the site [km]", up, reach=(-0.05 * up[-1], up[-1])),
        height=HEIGHT,
        summary=_path_summary(climb, aimed),
        look=look,
    )


def attitude(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return pitch [deg] and speed [% of that at cut-off] over the time since lift-off [s]."""
    look, climb = palette.look(theme), plan.flight.end.lunar_ascent
    t = pitch = speed = np.zeros(0)
    risen: list[float] = []
    if climb is not None:
        t, pitch = climb.track.t, climb.track.pitch / DEG
        speed = 100.0 * climb.track.speed / climb.track.speed[-1]
        risen = [climb.rise]
    across = strokes.upwards(float(t[-1]) if len(t) else 1.0, 8)
    return Drawing(
        traces=[
            strokes.line("pitch over the horizon [deg]", t, pitch, look.bad, "dash"),
            strokes.line("speed, inertial [% of that at cut-off]", t, speed, look.main),
            strokes.marks(
                "pitch over",
                risen,
                [90.0] * len(risen),
                ["pitch over"] * len(risen),
                ["top right"] * len(risen),
                look,
            ),
        ],
        x=strokes.axis(look, "time since lift-off [s]", across),
        y=strokes.axis(look, "pitch [deg], speed [%]", range(0, 101, 20), reach=(-15, 106)),
        height=HEIGHT,
        summary=_attitude_summary(climb),
        look=look,
    )


def perilune(plan: Plan) -> float:
    """Return how high over the site [m] the perilune of the insertion orbit lies; 1 km if none."""
    if plan.scenario.orbits.ascent_perilune is None:
        return 1e3
    return heights.ascent_apsides(plan.scenario)[0] - heights.ground(plan.scenario)


def _path_summary(climb: AscentFlight | None, aimed: float) -> str:
    if climb is None:
        return NO_ASCENT
    return (
        f"Ascent from the site to {climb.track.altitude[-1] / 1e3:.1f} km above it in "
        f"{climb.duration:.0f} s"
        f" and {climb.track.covered[-1] / 1e3:,.0f} km along the ground; the perilune of the"
        f" insertion orbit lies {aimed:.1f} km above the site."
    )


def _attitude_summary(climb: AscentFlight | None) -> str:
    if climb is None:
        return NO_ASCENT
    track = climb.track
    pitch = track.pitch / DEG
    tilted = pitch[track.t >= climb.rise - 1e-6][1]  # of two points at that time the second
    return (
        f"Upright for {climb.rise:.0f} s, then the thrust stands {tilted:.0f} deg over the"
        f" horizon, at cut-off {pitch[-1]:.0f} deg; the speed there is"
        f" {track.speed[-1]:,.0f} m/s."
    )
