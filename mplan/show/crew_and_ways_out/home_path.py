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
NEAR = 60e6  # m from Earth's centre: a way that stays below is drawn without the Moon
ASIDE = 200e6  # m that the Moon moves meanwhile, for its two names to stand side by side
STILL = 20e6  # m, below which it has one


def drawing(asked: WaysAsked, theme: Theme | None = None) -> Drawing:
    """Return the coasts of the best way that has any over the way to the Moon as planned.

    With the Moon's path and both bodies to scale. Where no way has a coast to draw, the plan alone;
    one that stays near Earth is drawn about Earth alone.
    """
    look, flight = palette.look(theme), asked.point.flight
    way = best(asked)
    flown = paths.of(way, flight) if way and flight.dated else []
    there = paths.planned(flight) if flight.dated else []
    seen = flown or there
    x, y = strokes.axes(look, "from Earth, across [km]", "towards the Moon half-way [km]")
    traces = _traces(asked, _named(flown, way), there, look) if seen else [_earth(look)]
    apart = {} if _near(flown) else {"dtick": 100e3}
    return Drawing(
        traces=traces,
        x={**x, **apart},
        y={**y, **apart},
        height=HEIGHT,
        summary=summary(asked, way),
        look=look,
        more={"dragmode": "pan"},
    )


def _named(flown: list[Coast], way: WayOut | None) -> list[Coast]:
    """Return coasts whose names tell where the way that they belong to is closed."""
    return [x._replace(name=f"{x.name}{words.shut(way)}") for x in flown] if way else flown


def _near(flown: list[Coast]) -> float:
    """Return how far [m] from Earth is drawn of a way that stays near; 0 for one that does not."""
    reach = max((float(np.linalg.norm(x.r, axis=-1).max()) for x in flown), default=NEAR)
    return 1.5 * reach if reach < NEAR else 0.0


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
    axes, near = _seen_from(r, v), _near(flown)
    path = strokes.line("the Moon's path", _flat(r, axes), look.moon, "solid", 1)
    planned = [x.r[np.linalg.norm(x.r, axis=-1) < near] if near else x.r for x in there]
    return [
        *([] if near else [path]),
        *(
            strokes.line("to the Moon, as planned", _flat(x, axes), look.outbound, "dot", 1)
            for x in planned
            if len(x)
        ),
        *(
            strokes.line(each.name, _flat(each.r, axes), look.homeward, dash, 3)
            for each, dash in zip(flown, ("solid", *DASHES), strict=False)
        ),
        *_bodies(asked, seen, axes, look),
        *([_earth_named(look)] if near else _moon(r, axes, look)),
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
    """Return Earth to scale, and where each coast begins."""
    begins = [_flat(each.r[:1], axes)[0] for each in seen]
    start = asked.point.flight.end.lift_off
    texts = [f"{words.clock(each.t[0] - start)} h:min" for each in seen]
    sides = [("top right", "bottom right")[i % 2] for i in range(len(texts))]  # burns may be close
    return [
        _earth(look),
        strokes.dots("a coast begins", np.array(begins), texts, sides, look),
    ]


def _earth_named(look: Look) -> Trace:
    """Return Earth's name, on it where the way stays near."""
    return strokes.names(["Earth"], np.zeros((1, 2)), ["middle center"], look)


def _moon(r: np.ndarray, axes: np.ndarray, look: Look) -> list[Trace]:
    """Return the Moon to scale where its path begins and ends, with the names of both bodies."""
    ends = _flat(r[[0, -1]], axes)
    moved = float(np.linalg.norm(r[-1] - r[0]))
    names = ["Earth", "the Moon then", "the Moon at the end"]
    places = np.vstack([BELOW_EARTH, ends])
    sides = ["middle center", "bottom right", "bottom right" if moved > ASIDE else "top right"]
    if moved < STILL:
        names, places, sides = ["Earth", "the Moon"], places[:2], sides[:2]
    return [
        *(strokes.disc("Moon", each, c.R_MOON, look.moon) for each in ends),
        strokes.names(names, places, sides, look),
    ]
