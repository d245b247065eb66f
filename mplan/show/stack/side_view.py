"""The stack on the pad from the side, to scale: elements, tanks with domes, engines, limits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, cos
from typing import Any

from mplan.plan import Plan
from mplan.scenario import Engine, Scenario
from mplan.scenario.figures import amount
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.show.drawn import palette
from mplan.show.drawn.figure import Drawing, Trace
from mplan.show.drawn.outlines import Broken, Line, apart, bells, hulls, joined, nozzle, tank
from mplan.show.drawn.palette import Look, Theme
from mplan.show.drawn.reference import GUIDE
from mplan.vehicle import abreast, geometry, pad
from mplan.vehicle.geometry import Standing
from mplan.vehicle.pieces import Placed
from mplan.vehicle.stack import on_pad

HEIGHT, WIDTH = 980, 600  # px, the width in a panel
BELOW, ABOVE = 9.0, 6.0  # m of room under the stack's foot and over the highest thing
LINE = 0.021  # of the picture's height, that a line of words takes
DOOR = {"door_height": ("height", "too tall"), "door_width": ("width", "too wide")}
OXIDISERS = ("liquid oxygen", "NTO")
Label = tuple[str, float, float]  # and the place of what they name: across and up [m]


def drawing(plan: Plan, theme: Theme | None = None) -> Drawing:
    """Return the stack as the plan has it, with what the pad allows."""
    return of(plan.scenario, theme)


def of(scenario: Scenario, theme: Theme | None = None) -> Drawing:
    """Return the stack of a scenario, flown or not."""
    look, stack = palette.look(theme), geometry.standing(scenario)
    is_, door = on_pad(scenario), scenario.launch_site.pad.door_width or 0.0
    top = max(is_.height, _lintel(scenario)) + ABOVE
    tall = top + BELOW
    half = 0.5 * tall * (WIDTH - 70) / (HEIGHT - 90)
    column = max(is_.width, door) / 2.0 + 3.0
    left, right = _named(stack), _things(stack)
    return Drawing(
        traces=[
            _line("pad", _stand(scenario, column - 1.5), look.quiet, "solid", 2),
            _guide(_line("metres", _ruler(half, top), look.quiet, "solid", 1)),
            _line("assembly-hall door", _door(scenario), look.bad, "dash", 1),
            _line("elements", _sides(stack), look.ink, "solid", 1),
            *_tanks(stack, look),
            _line("engines", joined(_bells(stack)), look.ink, "solid", 1),
            *_column(left, -column, -1, tall, look),
            *_column(right, column, 1, tall, look),
            _limits(scenario, look),
        ],
        x=_across(look, half),
        y=_up(look, top),
        height=HEIGHT,
        summary=summary(scenario),
        look=look,
        more={"showlegend": False, "hovermode": "closest"},
    )


def _across(look: Look, half: float) -> dict[str, Any]:
    return palette.axis(
        look,
        title={"text": "across [m]", "standoff": 6},
        range=[-half, half],
        tickvals=[-10, -5, 0, 5, 10],
        ticktext=["10", "5", "0", "5", "10"],
        showgrid=False,
        constrain="domain",
        fixedrange=True,
    )


def _up(look: Look, top: float) -> dict[str, Any]:
    """Return the axis of heights; a metre is as long as it is across."""
    tens = list(range(0, ceil(top), 10))
    return palette.axis(
        look,
        title={"text": "height above the stack's foot [m]", "standoff": 6},
        range=[-BELOW, top],
        tickvals=tens,
        ticktext=[str(each) for each in tens],
        showgrid=False,
        scaleanchor="x",
        constrain="domain",
        fixedrange=True,
    )


def summary(scenario: Scenario) -> str:
    """Return the picture in words."""
    is_ = on_pad(scenario)
    return (
        f"The stack of {len(scenario.stack)} elements to scale: {is_.height:.1f} m tall, "
        f"{is_.width:.1f} m wide, {is_.mass / 1e3:,.0f} t. {_room(scenario)}."
    )


def _room(scenario: Scenario) -> str:
    """Return in words what the assembly-hall door leaves free, or lacks."""
    limits = [x for x in pad.limits(scenario) if x.key in DOOR and x.limit is not None]
    if not limits:
        return "No assembly-hall door is stated"
    return "Assembly-hall door: " + ", ".join(_left(each) for each in limits)


def _left(each: pad.SiteLimit) -> str:
    size, beyond = DOOR[each.key]
    word = beyond if each.over > 0.0 else "to spare"
    return f"{size} {each.limit:.1f} m, {amount(abs(each.over))} m {word}"


def _line(name: str, line: Broken, colour: str, dash: str, width: int) -> Trace:
    x, y = zip(*line, strict=True) if line else ((), ())
    return {
        "type": "scatter",
        "mode": "lines",
        "name": name,
        "x": _rounded(x),
        "y": _rounded(y),
        "line": {"color": colour, "dash": dash, "width": width},
        "hoverinfo": "name",
    }


def _rounded(values: Iterable[float | None]) -> list[float | None]:
    return [None if each is None else round(each, 3) for each in values]


def _sides(stack: Sequence[Standing]) -> Broken:
    return joined(line for each in stack for line in hulls(each))


def _ruler(half: float, top: float) -> Broken:
    """Return a tick each metre along the left edge, longer ones at five and ten."""
    ticks = []
    for metre in range(ceil(top)):
        long = 2.4 if metre % 10 == 0 else 1.6 if metre % 5 == 0 else 0.8
        ticks.append([(-half, float(metre)), (-half + long, float(metre))])
    return joined(ticks)


def _stand(scenario: Scenario, reach: float) -> Broken:
    """Return the launch platform's deck, and the hold-down posts on it if there are any."""
    deck = 0.0 - scenario.launch_site.pad.post_height
    half = geometry.foot_width(geometry.standing(scenario)) / 2.0
    posts = [[(x, deck), (x, 0.0)] for x in (-half, half)] if deck else []
    return joined([[(-reach, deck), (reach, deck)], *posts])


def _door(scenario: Scenario) -> Broken:
    """Return the door as the stack passes it on its posts: what is stated of its two sizes."""
    site = scenario.launch_site.pad
    deck, lintel = -site.post_height, _lintel(scenario)
    if site.door_width is None:
        half = on_pad(scenario).width / 2.0
        return [(-half, lintel), (half, lintel)] if site.door_height else []
    side = site.door_width / 2.0
    if site.door_height is None:
        high = on_pad(scenario).height
        return joined([[(x, deck), (x, high)] for x in (-side, side)])
    return [(-side, deck), (-side, lintel), (side, lintel), (side, deck)]


def _lintel(scenario: Scenario) -> float:
    """Return the door's upper edge [m] above the stack's foot; 0 where none is stated."""
    site = scenario.launch_site.pad
    return 0.0 if site.door_height is None else site.door_height - site.post_height


def _tanks(stack: Sequence[Standing], look: Look) -> list[Trace]:
    """Return an area for each tank, those of one name in one; oxidisers in the main colour."""
    found = []
    for each in stack:
        for placed in each.layout.tanks:
            colour = look.main if placed.propellant in OXIDISERS else look.second
            name = f"{_label(each)}: {placed.propellant}"
            outline = _line(name, joined(_outlines(each, placed)), look.ink, "solid", 1)
            found.append({**outline, "fill": "toself", "fillcolor": colour})
    return found


def _outlines(each: Standing, placed: Placed) -> list[Line]:
    """Return the outlines of the tanks of one name, as far apart as they are seen to be."""
    shoulder = each.bottom + placed.shoulder
    centres = [x for x, named in _centres(each) if named == placed.tank]
    return [
        tank(placed.vessel, axis + centre, shoulder) for axis in each.axes for centre in centres
    ]


def _centres(each: Standing) -> list[tuple[float, str]]:
    """Return where the axes of tanks are seen, each with the tank's name."""
    tanks, build = each.layout.tanks, stated(each.element.build, f"[build] of {each.name}")
    arrangement = build.arrangement
    if arrangement == "common bulkhead":
        return [(0.0, placed.tank) for placed in tanks]
    tiers = [(placed,) for placed in tanks] if arrangement == "separate" else [tanks]
    outer = each.element.diameter if arrangement == "side" else None
    return sorted(
        {
            (round(spot.away * cos(spot.angle), 3), spot.tank.tank)
            for tier in tiers
            for spot in abreast.spots(tier, outer)
        }
    )


def _bells(stack: Sequence[Standing]) -> list[Line]:
    return [line for each in stack for engine in _drawn(each) for line in bells(each, engine)]


def _drawn(each: Standing) -> list[Engine]:
    """Return the main engines whose size is known."""
    engines = each.element.engines.values()
    return [x for x in engines if x.purpose == "main" and x.length and x.exit_diameter]


def _label(each: Standing) -> str:
    return each.element.label or plain(each.name)


def _named(stack: Sequence[Standing]) -> list[Label]:
    """Return the elements by name, with their lengths."""
    return [
        (
            f"{_label(each)}, {each.layout.length:.2f} m",
            min(each.axes) - each.element.diameter / 2.0,
            (each.bottom + each.top) / 2.0,
        )
        for each in stack
    ]


def _things(stack: Sequence[Standing]) -> list[Label]:
    """Return tanks and engines by name, with loads and numbers."""
    found = []
    for each in stack:
        edges = {name: x for x, name in _centres(each)} if each.layout.tanks else {}
        for placed in each.layout.tanks:
            text = f"{placed.propellant}, {placed.load / 1e3:,.1f} t"
            many = f"{placed.count} tanks of " if placed.count > 1 else ""
            middle = each.bottom + placed.shoulder + placed.vessel.cylinder / 2.0
            found.append((many + text, each.axes[-1] + edges[placed.tank], middle))
        for engine in _drawn(each):
            many = f"{engine.count} engines" if engine.count > 1 else "engine"
            text = f"{many} {engine.label}" if engine.label else many
            below = each.element.build.nested if each.element.build else 0.0
            found.append((text, each.axes[-1], each.bottom - below + nozzle(engine)[1] / 4.0))
    return found


def _column(
    words: Sequence[Label], x: float, side: int, tall: float, look: Look
) -> tuple[Trace, Trace]:
    """Return words in a column, none over another, and lines to what they name."""
    words = sorted(words, key=lambda each: each[2])
    heights = apart([each[2] for each in words], LINE * tall)
    leads = [
        [(at, up), (x - side * 1.0, height)]
        for (_, at, up), height in zip(words, heights, strict=True)
    ]
    names: Trace = {
        "type": "scatter",
        "mode": "text",
        "x": [round(x, 2)] * len(words),
        "y": _rounded(heights),
        "text": [text for text, _, _ in words],
        "textposition": "middle right" if side > 0 else "middle left",
        "textfont": {"color": look.ink},
        "cliponaxis": False,
        "hoverinfo": "skip",
    }
    return _guide(_line("what is named", joined(leads), look.quiet, "solid", 1)), names


def _guide(line: Trace) -> Trace:
    """Return a line that is not compared with that of another stack."""
    return {**line, "meta": GUIDE}


def _limits(scenario: Scenario, look: Look) -> Trace:
    """Return the stack's own size and what the door leaves free, in words."""
    is_ = on_pad(scenario)
    return {
        "type": "scatter",
        "mode": "text",
        "x": [0.0, 0.0],
        "y": [max(is_.height, _lintel(scenario)), 1.0 - BELOW],
        "text": [f"stack {is_.height:.1f} m tall, {is_.width:.1f} m wide", _room(scenario)],
        "textposition": ["top center", "top center"],
        "textfont": {"color": look.ink},
        "cliponaxis": False,
        "hoverinfo": "skip",
    }
