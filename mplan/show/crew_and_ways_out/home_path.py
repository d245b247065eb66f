"""A way home to scale between Earth and Moon, over the mission as planned; or about the Moon."""

from __future__ import annotations

import numpy as np

from mplan.contingencies.ways_out.way_out import WayOut
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


def drawing(asked: WaysAsked, theme: Theme | None = None) -> Drawing:
    """Return the coasts of the best way that has any over the way to the Moon as planned.

    With the Moon's path and both bodies to scale. Where no way has a coast to draw, the plan alone.
    """
    look, flight = palette.look(theme), asked.point.flight
    way = best(asked)
    flown = paths.of(way, flight) if way and flight.dated else []
    there = paths.planned(flight) if flight.dated else []
    seen = flown or there
    x, y = strokes.axes(look, "from Earth, across [km]", "towards the Moon half-way [km]")
    traces = _traces(asked, _named(flown, way), there, look) if seen else [_earth(look)]
    return Drawing(
        traces=traces,
        x={**x, "dtick": 100e3},
        y={**y, "dtick": 100e3},
        height=HEIGHT,
        summary=summary(asked, way),
        look=look,
        more={"dragmode": "pan"},
    )


def _named(flown: list[Coast], way: WayOut | None) -> list[Coast]:
    """Return coasts whose names tell where the way that they belong to is closed."""
    return [x._replace(name=f"{x.name}{words.shut(way)}") for x in flown] if way else flown


def best(asked: WaysAsked) -> WayOut | None:
    """Return the first way that has a coast between Earth and Moon to draw."""
    return next((x for x in asked.ways if x.arcs), None)


def summary(asked: WaysAsked, way: WayOut | None) -> str:
    """Return what is drawn in words."""
    if way is None:
        return f"The way to the Moon as planned; no way out is drawn. {words.told(asked)}"
    return f"To scale, Earth at rest: {way.name}{words.shut(way)}. {words.told(asked)}"


def _traces(asked: WaysAsked, flown: list[Coast], there: list[Coast], look: Look) -> list[Trace]:
    seen = flown or there
    times = np.linspace(seen[0].t[0], seen[-1].t[-1], coasts.POINTS)
    r, v = coasts.moon(times)
    axes = _seen_from(r, v)
    return [
        strokes.line("the Moon's path", _flat(r, axes), look.moon, "solid", 1),
        *(
            strokes.line("to the Moon, as planned", _flat(x.r, axes), look.outbound, "dot", 1)
            for x in there
        ),
        *(
            strokes.line(each.name, _flat(each.r, axes), look.homeward, dash, 3)
            for each, dash in zip(flown, ("solid", *DASHES), strict=False)
        ),
        *_bodies(asked, seen, axes, look),
    ]


def _earth(look: Look) -> Trace:
    return strokes.disc("Earth", np.zeros(2), c.R_EARTH, look.earth)


def _seen_from(r: np.ndarray, v: np.ndarray) -> np.ndarray:
    """Return the axes of the Moon's orbital plane (2, 3), the Moon straight up half-way."""
    middle = len(r) // 2
    up = unit(r[middle])
    return np.array([cross(up, unit(cross(r[middle], v[middle]))), up])


def _flat(r: np.ndarray, axes: np.ndarray) -> np.ndarray:
    """Return places (n, 3) [m] as drawn (n, 2) [km]."""
    return (r @ axes.T) / 1e3


def _bodies(asked: WaysAsked, seen: list[Coast], axes: np.ndarray, look: Look) -> list[Trace]:
    """Return where each coast begins, and both bodies to scale."""
    begins = [_flat(each.r[:1], axes)[0] for each in seen]
    start = asked.point.flight.end.lift_off
    texts = [f"{words.clock(each.t[0] - start)} h:min" for each in seen]
    moons, _ = coasts.moon(np.array([seen[0].t[0], seen[-1].t[-1]]))
    there = _flat(moons, axes)
    return [
        _earth(look),
        *(strokes.disc("Moon", each, c.R_MOON, look.moon) for each in there),
        strokes.dots("a coast begins", np.array(begins), texts, ["top right"] * len(texts), look),
        strokes.names(
            ["Earth", "the Moon then", "the Moon at the end"],
            np.vstack([BELOW_EARTH, there]),
            ["middle center", "bottom right", "bottom right"],  # the axis is to the left
            look,
        ),
    ]
