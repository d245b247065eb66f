"""When to lift off: velocity required at each pass of the ship, and available."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.physics.constants import HOUR
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme
from mplan.show.moon import strokes
from mplan.studies.stay import Pass, Window

HEIGHT, WIDTH = 360, 860  # px, the width in a panel


def drawing(
    passes: Sequence[Pass], window: Window | None, lift_off: float, theme: Theme | None = None
) -> Drawing:
    """Return required and available velocity [m/s] over the lift-off, since touchdown [h]."""
    look = palette.look(theme)
    hours, needs = [x.after / HOUR for x in passes], [x.required for x in passes]
    there = passes[0].required + passes[0].margin
    finite = [x for x in needs if x < float("inf")] or [there]
    ends = [window.first, window.last] if window else []
    low, high = min(*finite, there), max(*finite, there)
    ticks = _around(low, high)
    planned = min(passes, key=lambda x: abs(x.after - lift_off))
    return Drawing(
        traces=[
            strokes.line("required by the ascent", hours, needs, look.ascent),
            strokes.line(
                "available, less the reserve", hours, [there for _ in hours], look.bad, "dash"
            ),
            strokes.marks(
                "planned",
                [planned.after / HOUR],
                [planned.required],
                ["planned"],
                ["top left"],
                look,
                "diamond",
            ),
            strokes.marks(
                "first and last pass it can afford",
                [x.after / HOUR for x in ends],
                [x.required for x in ends],
                [f"{x.after / HOUR:.0f} h" for x in ends],
                ["top right", "bottom left"][: len(ends)],
                look,
            ),
        ],
        x=strokes.axis(look, "lift-off, since touchdown [h]", strokes.upwards(max(hours), 8)),
        y=strokes.axis(look, "ascent to the insertion orbit [m/s]", ticks),
        height=HEIGHT,
        summary=summary(window),
        look=look,
    )


def _around(low: float, high: float) -> list[float]:
    step = max(10.0, strokes.upwards(max(high - low, 1.0))[1])
    first = step * (low // step)
    return [first + i * step for i in range(int((high - first) // step) + 2)]


def summary(window: Window | None) -> str:
    """Return the picture in words."""
    if window is None:
        return "The ascent cannot afford the planned lift-off."
    first, last = window.first.after / HOUR, window.last.after / HOUR
    return (
        f"The ascent can afford every pass of the ship from {first:.1f} h to {last:.1f} h after "
        "touchdown."
    )
