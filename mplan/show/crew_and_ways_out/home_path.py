"""A way home to scale between Earth and Moon, over the mission as planned; or about the Moon."""

from __future__ import annotations

import numpy as np

from mplan.physics import constants as c
from mplan.physics.vectors import cross, unit
from mplan.show.crew_and_ways_out import words
from mplan.show.drawn import palette, strokes
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies import coasts
from mplan.studies.coasts import Coast
from mplan.studies.ways_out import WaysAsked, paths

HEIGHT, WIDTH = 430, 480  # px, the width in a panel
BELOW_EARTH = np.array([0.0, -22e3])  # km, where its name stands
DASHES = ("dash", "dot", "dashdot")


def drawing(asked: WaysAsked, theme: Theme | None = None) -> Drawing | None:
    """Return the coasts of the best way that has any, the Moon's path, both bodies; else None."""
    way = next((x for x in asked.ways if x.arcs), None)
    if way is None or not asked.point.flight.dated:
        return None
    look, flown = palette.look(theme), paths.of(way, asked.point.flight)
    times = np.linspace(flown[0].t[0], flown[-1].t[-1], coasts.POINTS)
    r, v = coasts.moon(times)
    axes = _seen_from(r, v)
    traces = [
        strokes.line("the Moon's path", _flat(r, axes), look.moon, "solid", 1),
        *_planned(asked, axes, look),
        *(
            strokes.line(each.name, _flat(each.r, axes), look.homeward, dash, 3)
            for each, dash in zip(flown, ("solid", *DASHES), strict=False)
        ),
        *_marks(asked, flown, axes, look),
    ]
    x, y = strokes.axes(look, "from Earth, across [km]", "towards the Moon half-way [km]")
    return Drawing(
        traces=traces,
        x=x,
        y=y,
        height=HEIGHT,
        summary=f"To scale, Earth at rest. {words.told(asked)}",
        look=look,
        more={"dragmode": "pan"},
    )


def _seen_from(r: np.ndarray, v: np.ndarray) -> np.ndarray:
    """Return the axes of the Moon's orbital plane (2, 3), the Moon straight up half-way."""
    middle = len(r) // 2
    up = unit(r[middle])
    return np.array([cross(up, unit(cross(r[middle], v[middle]))), up])


def _flat(r: np.ndarray, axes: np.ndarray) -> np.ndarray:
    """Return places (n, 3) [m] as drawn (n, 2) [km]."""
    return (r @ axes.T) / 1e3


def _planned(asked: WaysAsked, axes: np.ndarray, look: Look) -> list[Trace]:
    """Return the way to the Moon as planned, in a thin line."""
    return [
        strokes.line("to the Moon, as planned", _flat(x.r, axes), look.outbound, "dot", 1)
        for x in paths.planned(asked.point.flight)
    ]


def _marks(asked: WaysAsked, flown: list[Coast], axes: np.ndarray, look: Look) -> list[Trace]:
    """Return where it begins, its burns end and it comes down, and both bodies to scale."""
    begins = [_flat(each.r[:1], axes)[0] for each in flown]
    start = asked.point.flight.end.lift_off
    texts = [f"{words.clock(each.t[0] - start)} after lift-off" for each in flown]
    moons, _ = coasts.moon(np.array([flown[0].t[0], flown[-1].t[-1]]))
    there = _flat(moons, axes)
    return [
        strokes.disc("Earth", np.zeros(2), c.R_EARTH, look.earth),
        *(strokes.disc("Moon", each, c.R_MOON, look.moon) for each in there),
        strokes.dots(
            "a coast begins", np.array(begins), texts, ["middle right"] * len(texts), look
        ),
        strokes.names(
            ["Earth", "the Moon then", "the Moon at the end"],
            np.vstack([BELOW_EARTH, there]),
            ["middle center", "top right", "top left"],
            look,
        ),
    ]
