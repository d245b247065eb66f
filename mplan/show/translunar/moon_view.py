"""The approach: the Moon to scale, from the side of the landing site, or of Earth where none is.

The reader stands somewhat beside the plane of the orbit, which so becomes an open ring.
Everything stands on the turning Moon, in its own axes: the ship's path as well as the tracks
that the lunar orbit draws over the ground.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.vectors import cross, unit
from mplan.plan import Plan
from mplan.show.drawn import palette, strokes
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.palette import Look, Theme
from mplan.studies.arrival import arrived

HEIGHT, WIDTH = 400, 650  # px, the width in a panel
ROUND = 72  # points of the terminator
TICK = 30.0 * c.MINUTE
STEEP = np.cos(10.0 * c.DEG)  # from this near a pole north cannot be up
BESIDE = 30.0 * c.DEG  # the plane of the orbit
NOWHERE = np.full((1, 2), np.nan)


class Scene(NamedTuple):
    """What is seen, in the axes of the view: across, up and towards the reader, (n, 3) [m]."""

    arc: np.ndarray
    minutes: np.ndarray  # of the arc's points, from perilune
    tracks: list[tuple[str, np.ndarray]]
    site: np.ndarray | None
    earth: np.ndarray  # unit vectors: towards Earth at arrival, towards the Sun
    sun: np.ndarray
    when: str  # the Sun is there


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return limb and night, the last two hours of the arc, ground tracks, site and Earth."""
    look, scene = palette.look(theme), seen(plan)
    x, y = strokes.axes(look, f"{_from(plan)}, across [km]", "up, north of the Moon [km]")
    return Drawing(
        traces=[
            strokes.line(
                "limb", strokes.circle(np.zeros(2), c.R_MOON), look.moon, "solid", 2, legend=False
            ),
            _night(scene, look),
            *_tracks(scene, look),
            *_path(scene, look),
            _ticks(scene, look),
            _marks(plan, scene, look),
        ],
        x={**x, "range": _reach(scene)},
        y=y,
        height=HEIGHT,
        summary=summary(plan, scene),
        look=look,
        more={"dragmode": "pan"},
    )


def summary(plan: Plan, scene: Scene) -> str:
    """Return the drawing in words."""
    near = float(np.linalg.norm(scene.arc, axis=1).min() - c.R_MOON) / 1e3
    behind = hidden(scene.arc) & (scene.minutes <= 0.0)
    lost = f"{behind.mean() * len(scene.minutes) * _step(scene):.0f} min" if behind.any() else ""
    out = f", behind the Moon for the last {lost}" if lost else ""
    tracks = " and ".join(name for name, _ in scene.tracks) or "no orbit"
    return (
        f"The Moon {_from(plan)}, to scale: the last two hours of the way to perilune at "
        f"{near:,.0f} km{out}; {tracks}; night {scene.when}."
    )


def _reach(scene: Scene) -> list[float]:
    """Return the ends of the x axis [km]: disc and arc, with room for words."""
    across = np.append(scene.arc[:, 0], [-c.R_MOON, c.R_MOON]) / 1e3
    return [round(float(np.min(across))) - 500, round(float(np.max(across))) + 500]


def _step(scene: Scene) -> float:
    return float(scene.minutes[1] - scene.minutes[0])


def _from(plan: Plan) -> str:
    place = plan.scenario.landing_site
    return f"from 30 deg beside {place.name if place else 'the direction of Earth'}"


def seen(plan: Plan) -> Scene:
    """Return the scene of a plan."""
    there = arrived(plan)
    axes = view(there.earth if there.site is None else there.site, there.normal)
    return Scene(
        there.arc @ axes.T,
        there.minutes,
        [(name, track @ axes.T) for name, track in there.tracks],
        None if there.site is None else axes @ there.site * c.R_MOON,
        axes @ there.earth,
        axes @ there.sun,
        there.when,
    )


def view(middle: np.ndarray, normal: np.ndarray) -> np.ndarray:
    """Return the axes of the view (3, 3): across, up (north, if it can be) and to the reader.

    The reader stands over the unit vector `middle`, but off the plane of `normal`, to its north.
    """
    north = np.array([0.0, 0.0, 1.0])
    off = normal if normal @ north >= 0.0 else -normal
    towards = unit(np.cos(BESIDE) * middle + np.sin(BESIDE) * off)
    if abs(towards @ north) > STEEP:
        north = -middle
    across = unit(cross(north, towards))
    return np.array([across, cross(towards, across), towards])


def hidden(places: np.ndarray) -> np.ndarray:
    """Tell which places (n, 3) [m] of a view lie behind the Moon."""
    return (places[:, 2] < 0.0) & (np.hypot(places[:, 0], places[:, 1]) < c.R_MOON * (1.0 + 1e-9))


def _night(scene: Scene, look: Look) -> Trace:
    """Return the part of the disc where the Sun is down, hatched."""
    edge = _terminator(scene.sun)
    x, y = strokes.whole(edge * c.R_MOON / 1e3)
    return {
        "type": "scatter",
        "mode": "lines",
        "name": f"night {scene.when}",
        "x": x,
        "y": y,
        "fill": "toself",
        "fillcolor": "rgba(0,0,0,0)",
        "fillpattern": {"shape": "/", "fgcolor": look.quiet, "size": 7, "solidity": 0.2},
        "line": {"color": look.quiet, "width": 1, "dash": "solid"},
        "hoverinfo": "name",
    }


def _terminator(sun: np.ndarray) -> np.ndarray:
    """Return the outline (n, 2) of the night on a disc of radius one."""
    side = np.array([-sun[1], sun[0]]) / np.hypot(sun[0], sun[1])  # along the terminator
    away = -sun[:2] / np.hypot(sun[0], sun[1])
    angles = np.linspace(0.0, np.pi, ROUND)[:, None]
    limb = np.cos(angles) * side + np.sin(angles) * away
    line = np.cos(angles[::-1]) * side + np.sin(angles[::-1]) * sun[2] * away
    return np.vstack([limb, line, limb[:1]])


def _tracks(scene: Scene, look: Look) -> list[Trace]:
    """Return both ground tracks, their far halves dotted; empty where there is no orbit."""
    styles = (("track at arrival", look.lunar_orbit), ("track at landing", look.descent))
    there = bool(scene.tracks)
    tracks = scene.tracks or [(name, NOWHERE) for name, _ in styles]
    traces = []
    for (name, track), (_, colour) in zip(tracks, styles, strict=True):
        front, back = _halves(track, hidden(track)) if there else (NOWHERE, NOWHERE)
        traces += [
            strokes.line(name, front, colour, "solid", 2, legend=there),
            strokes.line(f"{name}, far side", back, colour, "dot", 1, legend=False),
        ]
    return traces


def _path(scene: Scene, look: Look) -> list[Trace]:
    front, back = _halves(scene.arc, hidden(scene.arc))
    return [
        strokes.line("the ship", front, look.outbound, "solid", 3),
        strokes.line("behind the Moon", back, look.outbound, "dash", 3),
    ]


def _halves(places: np.ndarray, behind: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return places (n, 2) [km] in front of the Moon and behind it, broken where they change."""
    flat = places[:, :2] / 1e3
    meets = behind | np.append(behind[1:], False) | np.append(False, behind[:-1])
    front = np.where(behind[:, None], np.nan, flat)
    return front, np.where(meets[:, None], flat, np.nan)


def _ticks(scene: Scene, look: Look) -> Trace:
    """Return a dot every half-hour, with the time from perilune."""
    every = TICK / c.MINUTE
    off = np.abs(scene.minutes / every - np.round(scene.minutes / every))
    on = off < 1e-6
    texts = [_clock(minutes) for minutes in np.round(scene.minutes[on])]
    places = scene.arc[on, :2] / 1e3
    sides = ["top center" if y >= 0.0 else "bottom center" for y in places[:, 1]]
    return strokes.dots("hours from perilune", places, texts, sides, look)


def _clock(minutes: float) -> str:
    hours, rest = divmod(abs(round(minutes)), 60)
    sign = "-" if minutes < 0.0 else "+" if minutes > 0.0 else ""
    return f" {sign}{hours}:{rest:02d} "


def _marks(plan: Plan, scene: Scene, look: Look) -> Trace:
    """Return the landing site and the place over which Earth stands, if they are on this side."""
    rows = [(scene.earth * c.R_MOON, "Earth overhead", "circle-open", "top center")]
    if scene.site is not None:
        name = plan.scenario.site.name
        rows.append((scene.site, name, "diamond", "bottom center"))
    shown = [row for row in rows if row[0][2] > 0.0]
    places = np.array([row[0][:2] for row in shown]).reshape(-1, 2) / 1e3
    words = [f" {row[1]} " for row in shown]
    return {
        **strokes.dots("places", places, words, [row[3] for row in shown], look),
        "marker": {"color": look.ink, "size": 9, "symbol": [row[2] for row in shown]},
        "showlegend": False,
    }
