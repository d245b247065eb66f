"""The powered descent from the side: altitude over what is still to go to the site."""

from __future__ import annotations

import numpy as np

from mplan.physics.landing.descent import DescentFlight
from mplan.plan import Plan
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Look, Theme
from mplan.show.moon import strokes

HEIGHT, WIDTH = 380, 640  # px, the width in a panel
NAMED = {"trim": "ignition", "braking": "full braking", "approach": "high gate"}
NEAR = {"approach": "high gate", "landing": "low gate"}
SIDES = {"ignition": "top center", "full braking": "bottom right"}


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return altitude [km] over range [km] from ignition to touchdown."""
    descent = plan.flight.end.descent
    far = 0.0 if descent is None else float(descent.track.range[0]) / 1e3
    high = 0.0 if descent is None else float(np.max(descent.track.altitude)) / 1e3
    return _drawn(descent, 0.0, (far, high), NAMED, _summary(plan), palette.look(theme))


def near(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the same from the high gate down."""
    descent = plan.flight.end.descent
    begin = 0.0 if descent is None else descent.phase("approach").t
    rules = plan.scenario.descent
    ends = (0.0, 0.0)
    if descent is not None:
        at = int(np.argmin(np.abs(descent.track.t - begin)))
        ends = (float(descent.track.range[at]) / 1e3, rules.high_gate_altitude / 1e3)
    return _drawn(descent, begin, ends, NEAR, _near_summary(descent), palette.look(theme))


def _drawn(
    descent: DescentFlight | None,
    begin: float,
    most: tuple[float, float],
    named: dict[str, str],
    summary: str,
    look: Look,
) -> Drawing:
    x, y = np.zeros(0), np.zeros(0)
    places: list[tuple[str, float, float]] = []
    if descent is not None:
        track = descent.track.between(begin - 1e-6, np.inf)
        x, y = track.range / 1e3, track.altitude / 1e3
        whole = descent.track
        starts = [(named[name], i) for name, i in strokes.begins(descent) if name in named]
        places = [(text, whole.range[i] / 1e3, whole.altitude[i] / 1e3) for text, i in starts]
    across, up = strokes.upwards(most[0] or 1.0), strokes.upwards(most[1] * 1.15 or 1.0)
    names = [text for text, _, _ in places]
    sides = [SIDES.get(text, "top right") for text in names]
    return Drawing(
        traces=[
            strokes.line("descent", x, y, look.descent),
            strokes.marks(
                "a phase begins",
                [place[1] for place in places],
                [place[2] for place in places],
                names,
                sides,
                look,
            ),
            strokes.marks("site", [0.0], [0.0], ["site"], ["top right"], look, "diamond"),
        ],
        x=strokes.axis(
            look,
            "still to go along the ground [km]",
            across,
            reach=(across[-1], -0.22 * across[-1]),
        ),
        y=strokes.axis(look, "altitude over the site [km]", up),
        height=HEIGHT,
        summary=summary,
        look=look,
    )


def _summary(plan: Plan) -> str:
    descent = plan.flight.end.descent
    if descent is None:
        return strokes.NO_DESCENT
    track, gate = descent.track, plan.scenario.descent.high_gate_altitude / 1e3
    return (
        f"Powered descent from {track.altitude[0] / 1e3:.1f} km above the site, "
        f"{track.range[0] / 1e3:,.0f} km "
        f"short of the site, past the high gate at {gate:.1f} km, to touchdown after "
        f"{descent.duration:.0f} s."
    )


def _near_summary(descent: DescentFlight | None) -> str:
    if descent is None:
        return strokes.NO_DESCENT
    low = descent.phase("landing")
    return (
        f"From the high gate to the site: low gate after {low.t:.0f} s, touchdown at "
        f"{descent.speed:.1f} m/s after {descent.duration:.0f} s."
    )
