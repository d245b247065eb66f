"""The way to the Moon and home in the frame that turns with the Moon: Earth and Moon stand still.

Distances are scaled so that the Moon stays at its mean distance; the discs are drawn to scale.
"""

from __future__ import annotations

import numpy as np

from mplan.physics import constants as c
from mplan.plan import Plan
from mplan.show.drawn import palette, strokes
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.coasts import Coast, moon, of

MEAN_DISTANCE = 384_400e3  # m, Earth to Moon, IAU (Astronomical Almanac, section K)
HEIGHT, WIDTH = 330, 650  # px, the width in a panel
NAMES = np.array([[0.0, -16e3], [MEAN_DISTANCE / 1e3 + 2e3, 0.0]])  # km, where they stand
MOON = np.array([MEAN_DISTANCE / 1e3, 0.0])  # km
REACH = (-45e3, 430e3)  # km, across
TICK = 50_000  # km, across the line
ROOM = 1.3  # times the widest path, so that hours stand clear of the axis


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the arcs, both bodies and a mark every 12 h."""
    look, coasts = palette.look(theme), of(plan)
    paths = [flat(arc.t, arc.r) for arc in coasts]
    most = ROOM * max(float(np.abs(path[:, 1]).max()) for path in paths)
    ends = int(most // TICK) * TICK
    ticks = list(range(-ends, ends + 1, TICK))
    across = "towards the Moon, kept at 384,400 km [km]"
    x, y = strokes.axes(look, across, "with the Moon's motion [km]")
    return Drawing(
        traces=[
            strokes.line("Earth-Moon line", np.array([[0.0, 0.0], MOON]), look.faint, "dot", 1),
            *(
                strokes.line(arc.name, path, colour, dash, 2)
                for arc, path, colour, dash in zip(
                    coasts, paths, (look.outbound, look.homeward), ("solid", "dash"), strict=False
                )
            ),
            _marks(coasts, paths, plan.flight.end.lift_off, look),
            strokes.disc("Earth", np.zeros(2), c.R_EARTH, look.earth),
            strokes.disc("Moon", MOON, c.R_MOON, look.moon),
            strokes.names(["Earth", "Moon"], NAMES, ["middle center", "middle right"], look),
        ],
        x={**x, "range": list(REACH)},
        y={**y, "range": [-most, most], "tickvals": ticks, "ticktext": [f"{x:,}" for x in ticks]},
        height=HEIGHT,
        summary=summary(coasts, paths),
        look=look,
        more={"dragmode": "pan"},
    )


def summary(coasts: list[Coast], paths: list[np.ndarray]) -> str:
    """Return the drawing in words."""
    sides = " and ".join(
        f"{arc.name} {_side(path)}" for arc, path in zip(coasts, paths, strict=True)
    )
    return f"Turning with the Earth-Moon line, in the plane of the Moon's orbit: {sides}."


def _side(path: np.ndarray) -> str:
    """Return how far a path departs from the line, and to which side."""
    most = path[np.argmax(np.abs(path[:, 1])), 1]
    return f"up to {abs(most):,.0f} km {'ahead of' if most > 0.0 else 'behind'} it"


def flat(t: np.ndarray, r: np.ndarray) -> np.ndarray:
    """Return geocentric places (n, 3) [m] at `t` (n,) [TDB s] as drawn, (n, 2) [km].

    Across is from Earth to the Moon, up the way the Moon goes; what lies out of the plane of its
    orbit is dropped.
    """
    moon_r, moon_v = moon(t)
    distance = np.linalg.norm(moon_r, axis=1, keepdims=True)
    across = moon_r / distance
    up = moon_v - np.sum(moon_v * across, axis=1, keepdims=True) * across
    up /= np.linalg.norm(up, axis=1, keepdims=True)
    places = np.column_stack([np.sum(r * across, axis=1), np.sum(r * up, axis=1)])
    return places * (MEAN_DISTANCE / distance) / 1e3


def _marks(coasts: list[Coast], paths: list[np.ndarray], begin: float, look: Look) -> Trace:
    """Return a dot every 12 h since lift-off, its hour on the outer side of the path."""
    on = [strokes.on_tick(arc.t, begin) for arc in coasts]
    times = np.concatenate([arc.t[x] for arc, x in zip(coasts, on, strict=True)])
    places = np.vstack([path[x] for path, x in zip(paths, on, strict=True)])
    sides = ["top center" if y > 0.0 else "bottom center" for y in places[:, 1]]
    return strokes.hours(times.tolist(), places, begin, sides, look)
