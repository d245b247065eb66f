"""Until when a descent can be aborted: what that requires, against what is available."""

from __future__ import annotations

from mplan.contingencies.descent_aborts import DescentAborts
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing
from mplan.show.drawn.palette import Theme
from mplan.show.moon import strokes

HEIGHT, WIDTH = 400, 860  # px, the width in a panel


def drawing(found: DescentAborts, theme: Theme | None = None) -> Drawing:
    """Return required and available velocity [m/s] over the time of the call [s after ignition]."""
    look = palette.look(theme)
    t, last = [x.t for x in found.ascent], found.last
    both = (*found.ascent, *found.descent)
    finite = [x.required for x in both if x.required < float("inf")]
    most = max([x.available for x in both] + finite, default=1.0)
    marks = [] if last is None else [last]
    return Drawing(
        traces=[
            strokes.line(
                "ascent stage, required (estimate)",
                t,
                [x.required for x in found.ascent],
                look.ascent,
            ),
            strokes.line(
                "ascent stage, available",
                t,
                [x.available for x in found.ascent],
                look.ascent,
                "dash",
            ),
            strokes.line(
                "descent stage, required (estimate)",
                t,
                [x.required for x in found.descent],
                look.descent,
                "dashdot",
            ),
            strokes.line(
                "descent stage, available",
                t,
                [x.available for x in found.descent],
                look.descent,
                "dot",
            ),
            strokes.marks(
                "last abort by the ascent stage",
                [x.t for x in marks],
                [x.required for x in marks],
                [f"{x.altitude:.0f} m up" for x in marks],
                ["top center" for _ in marks],
                look,
                "diamond",
            ),
        ],
        x=strokes.axis(
            look, "abort called after ignition [s]", strokes.upwards(max(t, default=1.0), 8)
        ),
        y=strokes.axis(look, "velocity to a safe orbit [m/s]", strokes.upwards(most)),
        height=HEIGHT,
        summary=summary(found),
        look=look,
    )


def summary(found: DescentAborts) -> str:
    """Return the picture in words."""
    if not found.ascent:
        return strokes.NO_DESCENT
    text = f"The descent stage alone comes back until {found.descent_ends:.0f} s after ignition"
    if found.last is None:
        return f"{text}, the ascent stage never."
    return (
        f"{text}, the ascent stage until {found.last.t:.0f} s, {found.last.altitude:.0f} m above "
        f"the site, with {found.last.margin:,.0f} m/s to spare."
    )
