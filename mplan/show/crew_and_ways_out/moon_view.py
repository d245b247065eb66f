"""A way out about the Moon to scale: its orbits before and after each burn, and how it leaves."""

from __future__ import annotations

from typing import Any

import numpy as np

from mplan.contingencies.ways_out.way_out import WayOut
from mplan.physics import constants as c
from mplan.show.crew_and_ways_out import home_path, words
from mplan.show.drawn import palette, strokes
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.ways_out import WaysAsked
from mplan.studies.ways_out.about_moon import AboutMoon, about_moon

HEIGHT, WIDTH = 430, 400  # px, the width in a panel
DASHES = ("solid", "dash", "dot", "dashdot")
SYMBOLS = ("circle", "diamond", "square-open", "circle-open", "diamond-open")
CLOSE = 0.08  # of the picture, within which marks have their numbers beside each other
SLANT = 0.38  # sine of 22.5 deg
STEPS = [x * 10**n for n in (2, 3, 4, 5) for x in (1, 2, 5)]  # km
NOWHERE = "The way home that is drawn makes no burn near the Moon."
CENTRE = np.zeros(2)


def drawing(asked: WaysAsked, theme: Theme | None = None) -> Drawing | None:
    """Return the first way that burns about the Moon; None where none does."""
    found = best(asked)
    if found is None:
        return None
    way, seen = found
    look = palette.look(theme)
    x, y = strokes.axes(look, "across [km]", "away from Earth [km]")
    shown = _shown(seen.reach / 1e3)
    return Drawing(
        traces=_traces(seen, words.shut(way), look),
        x={**x, **shown},
        y={**y, **shown},
        height=HEIGHT,
        summary=summary(way, seen),
        look=look,
        more={"dragmode": "pan"},
    )


def _shown(reach: float) -> dict[str, list[Any]]:
    """Return range and ticks of an axis that reaches so far [km] either side of the Moon."""
    step = next(x for x in STEPS if 2.5 * x >= reach)
    ticks = [i * step for i in range(-3, 4) if abs(i * step) <= reach]
    return {
        "range": [-reach, reach],
        "tickvals": ticks,
        "ticktext": [f"{each:,}" for each in ticks],
    }


def best(asked: WaysAsked) -> tuple[WayOut, AboutMoon] | None:
    """Return the first way if it burns about the Moon, with what there is to draw of it.

    The same way is drawn here as between Earth and the Moon: the one that is told of first.
    """
    way = home_path.best(asked) or next((x for x in asked.ways if x.orbits), None)
    seen = None if way is None else about_moon(way, asked.point.flight)
    return None if way is None or seen is None else (way, seen)


def summary(way: WayOut, seen: AboutMoon) -> str:
    """Return what is drawn in words."""
    burns = "; ".join(_named(*x[:3]) for x in seen.burns) or "none"
    orbits = ", ".join(x.name for x in seen.orbits) or "none"
    return (
        f"About the Moon, to scale, in the plane of the first orbit: {way.name}{words.shut(way)}. "
        f"Orbits: {orbits}. Burns: {burns}."
    )


def _named(number: int, what: str, elapsed: float) -> str:
    return f"{number} {what}, {words.clock(elapsed)}"


def _traces(seen: AboutMoon, shut: str, look: Look) -> list[Trace]:
    around = [
        strokes.line(f"{x.name}", _flat(x.r, seen), look.lunar_orbit, dash, 2)
        for x, dash in zip(seen.orbits, DASHES, strict=False)
    ]
    away = [
        strokes.line(
            f"{x.name}{shut}",
            _flat(x.r, seen),
            look.homeward,
            "solid" if x is seen.leaving[-1] else "dot",
            3,
            legend=x.name not in {before.name for before in seen.leaving[:i]},
        )
        for i, x in enumerate(seen.leaving)
    ]
    moon = strokes.disc("Moon", CENTRE, c.R_MOON, look.faint)
    named = strokes.names(["Moon"], CENTRE[None, :], ["middle center"], look)
    return [moon, named, *around, *away, *_marks(seen, look)]


def _marks(seen: AboutMoon, look: Look) -> list[Trace]:
    """Return a mark at each burn with its number; what it is and when stand in the legend."""
    places = _flat(np.array([x.r for x in seen.burns]).reshape(-1, 3), seen)
    close = CLOSE * seen.reach / 1e3
    marks = []
    for i, (burn, place) in enumerate(zip(seen.burns, places, strict=True)):
        here = [j for j, p in enumerate(places) if np.hypot(*(p - place)) < close]
        numbers = ", ".join(str(seen.burns[j].number) for j in here) if here[0] == i else ""
        mark = strokes.dots(
            _named(*burn[:3]), place[None, :], [f" {numbers} "], _sides(place), look
        )
        symbol = SYMBOLS[i % len(SYMBOLS)]
        marks.append({**mark, "marker": {"color": look.ink, "size": 8, "symbol": symbol}})
    return marks


def _sides(place: np.ndarray) -> list[str]:
    """Return the side of a mark that its number stands on: away from the Moon."""
    x, y = place / np.hypot(*place)
    up = "top" if y > SLANT else "bottom" if y < -SLANT else "middle"
    return [f"{up} {'right' if x > SLANT else 'left' if x < -SLANT else 'center'}"]


def _flat(r: np.ndarray, seen: AboutMoon) -> np.ndarray:
    """Return places (n, 3) [m] as drawn (n, 2) [km]."""
    return (r @ seen.axes.T) / 1e3
