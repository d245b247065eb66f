"""The way to the Moon and home to scale, Earth at rest, seen along the axis of the Moon's orbit."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from mplan.physics import constants as c
from mplan.physics.vectors import cross, unit
from mplan.plan import Plan
from mplan.show.drawn import palette, strokes
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.coasts import POINTS, Coast, moon, of

HEIGHT, WIDTH = 430, 480  # px, the width in a panel
BELOW_EARTH = np.array([0.0, -22e3])  # km, where its name stands


@dataclass(frozen=True)
class View:
    """The plane of the drawing: `across`, `up` and towards the reader, unit vectors (3,)."""

    axes: np.ndarray

    def flat(self, r: np.ndarray) -> np.ndarray:
        """Return places (n, 3) [m] as drawn (n, 2) [km]."""
        return (r @ self.axes[:2].T) / 1e3

    def depth(self, r: np.ndarray) -> np.ndarray:
        """Return the distance [km] of places (n, 3) from the plane of the drawing."""
        return (r @ self.axes[2]) / 1e3


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the arcs, the Moon's path, both bodies and a mark every 12 h."""
    look = palette.look(theme)
    coasts = of(plan)
    begin, end = plan.flight.end.lift_off, coasts[-1].t[-1]
    times = np.linspace(begin, end, POINTS)
    r, v = moon(times)
    view = seen_from(r, v)
    meets = _at_moon(coasts)
    traces = [
        strokes.line("the Moon's path", view.flat(r), look.moon, "solid", 1),
        *_stay(times, meets, view, look),
        *(
            strokes.line(arc.name, view.flat(arc.r), colour, dash, 2)
            for arc, colour, dash in zip(
                coasts, (look.outbound, look.homeward), ("solid", "dash"), strict=False
            )
        ),
        _marks(coasts, begin, view, look),
        *_bodies(view, moon(np.array(meets))[0], look),
    ]
    x, y = strokes.axes(look, "from Earth, across [km]", "towards the Moon at mid-stay [km]")
    return Drawing(
        traces=traces,
        x=x,
        y=y,
        height=HEIGHT,
        summary=summary(coasts, view),
        look=look,
        more={"dragmode": "pan"},
    )


def summary(coasts: list[Coast], view: View) -> str:
    """Return the drawing in words."""
    legs = " and ".join(f"{arc.name} {(arc.t[-1] - arc.t[0]) / c.HOUR:.0f} h" for arc in coasts)
    off = max(float(np.abs(view.depth(arc.r)).max()) for arc in coasts)
    return (
        f"To scale, in the plane of the Moon's orbit, Earth at rest: {legs}; the path leaves "
        f"that plane by up to {off:,.0f} km."
    )


def seen_from(r: np.ndarray, v: np.ndarray) -> View:
    """Return the plane of the Moon's orbit, the Moon (n, 3) straight up halfway through."""
    middle = len(r) // 2
    towards = unit(cross(r[middle], v[middle]))
    up = unit(r[middle])
    return View(np.array([cross(up, towards), up, towards]))


def _at_moon(coasts: list[Coast]) -> list[float]:
    """Return when the ship comes to the Moon and when it leaves it: one time for a flyby."""
    return sorted({float(coasts[0].t[-1]), *(float(arc.t[0]) for arc in coasts[1:])})


def _stay(times: np.ndarray, meets: list[float], view: View, look: Look) -> list[Trace]:
    """Return the part of the Moon's path that the ship goes along with it."""
    if len(meets) == 1:
        return []
    there = times[(times >= meets[0]) & (times <= meets[-1])]
    return [strokes.line("at the Moon", view.flat(moon(there)[0]), look.moon, "solid", 4)]


def _marks(coasts: list[Coast], begin: float, view: View, look: Look) -> Trace:
    """Return a dot every 12 h since lift-off, with its hour: they tell which way it goes."""
    times, places, sides = [], [], []
    for arc, side in zip(coasts, ("middle right", "middle left"), strict=False):
        on = strokes.on_tick(arc.t, begin)
        times += arc.t[on].tolist()
        places.append(view.flat(arc.r[on]))
        sides += [side] * int(on.sum())
    return strokes.hours(times, np.vstack(places), begin, sides, look)


def _bodies(view: View, moons: np.ndarray, look: Look) -> list[Trace]:
    centres = view.flat(moons)
    names = ["arrival", "departure"] if len(moons) > 1 else ["Moon"]
    sides = ["middle center", "top right", "top left"][: len(names) + 1]
    return [
        strokes.disc("Earth", np.zeros(2), c.R_EARTH, look.earth),
        *(strokes.disc("Moon", centre, c.R_MOON, look.moon) for centre in centres),
        strokes.names(["Earth", *names], np.vstack([BELOW_EARTH, centres]), sides, look),
    ]
