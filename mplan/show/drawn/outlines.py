"""Outlines of hardware seen from the side, as lines of points [m]: across, and up from the pad."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import cos, pi, sin

from mplan.scenario import Engine
from mplan.scenario.stated import stated
from mplan.vehicle import tankage
from mplan.vehicle.geometry import Standing, on_one
from mplan.vehicle.tankage import Vessel

Line = list[tuple[float, float]]
Broken = Sequence[tuple[float | None, float | None]]  # lines, with None between them

ARC = 10  # points of a quarter of a dome
THROAT = 0.3  # of a nozzle's exit, its upper end as drawn


def joined(lines: Iterable[Line]) -> Broken:
    """Return lines as one, broken between them."""
    found: list[tuple[float | None, float | None]] = []
    for line in lines:
        found += [*([(None, None)] if found else []), *line]
    return found


def hulls(each: Standing) -> list[Line]:
    """Return the outline of each body of an element that is seen."""
    return [shifted(_hull(each), axis) for axis in each.axes]


def shifted(line: Line, across: float) -> Line:
    """Return a line moved across [m]."""
    return [(x + across, y) for x, y in line]


def _hull(each: Standing) -> Line:
    """Return an element's outline: straight, but for a wider foot and an end that tapers."""
    element, pieces = each.element, each.layout.pieces
    wide, build = element.diameter, element.build
    foot = (build.skirt_diameter if build else None) or wide
    walls = [(each.bottom, foot), (each.bottom + pieces[0].length, wide)] if foot != wide else []
    walls = walls or [(each.bottom, wide)]
    if element.top_diameter and build:
        walls.append((each.bottom + pieces[-1].bottom, wide))
    walls.append((each.top, element.top_diameter or wide))
    right = [(width / 2.0, height) for height, width in walls]
    left = [(-x, y) for x, y in reversed(right)]
    return [*right, *left, right[0]]


def tank(vessel: Vessel, centre: float, shoulder: float) -> Line:
    """Return a tank's outline round its axis at `centre`, its cylinder from `shoulder` up."""
    radius, upper = vessel.diameter / 2.0, shoulder + vessel.cylinder
    turn = [pi * i / (2 * ARC) for i in range(2 * ARC + 1)]
    bulge = {"up": vessel.dome, "down": -vessel.dome}
    ceiling = [(radius * cos(a), upper + bulge[vessel.ceiling] * sin(a)) for a in turn]
    floor = [(-radius * cos(a), shoulder + bulge[vessel.floor] * sin(a)) for a in turn]
    return shifted([*ceiling, *floor, ceiling[0]], centre)


def bells(each: Standing, engine: Engine) -> list[Line]:
    """Return the nozzles of an element's engines of one kind, as they are seen."""
    build = each.element.build
    low = each.bottom - (build.nested if build else 0.0)
    spacing = build.engine_spacing if build else 1.0
    exit_diameter, _ = nozzle(engine)
    count = on_one(each.element, engine)
    wide, ring = tankage.cluster(count, exit_diameter, spacing * exit_diameter)
    away = (wide - exit_diameter) / 2.0
    seen = {round(away * cos(2.0 * pi * i / ring + pi / 2.0), 3) + 0.0 for i in range(ring)}
    centres = sorted(seen | {0.0} if ring < count else seen)
    return [_bell(engine, axis + centre, low) for axis in each.axes for centre in centres]


def nozzle(engine: Engine) -> tuple[float, float]:
    """Return exit diameter and length [m]; NotStated where the engine has none."""
    wide = stated(engine.exit_diameter, "exit_diameter of an engine")
    return wide, stated(engine.length, "length of an engine")


def _bell(engine: Engine, centre: float, low: float) -> Line:
    """Return a nozzle's outline: as a parabola opens, from a narrow upper end."""
    steps = [i / ARC for i in range(ARC + 1)]
    wide, length = nozzle(engine)
    half = wide / 2.0
    right = [
        (half * (THROAT + (1.0 - THROAT) * (1.0 - up) ** 0.5), low + up * length) for up in steps
    ]
    left = [(-x, y) for x, y in reversed(right)]
    return shifted([*right, *left, right[0]], centre)


def apart(places: Sequence[float], least: float) -> list[float]:
    """Return rising places moved as little as can be for at least `least` between them.

    Neighbours that would touch are pushed from their common middle (pool adjacent violators).
    """
    groups: list[tuple[float, int]] = []  # mean of what is left after spacing, and how many
    for i, place in enumerate(places):
        mean, count = place - i * least, 1
        while groups and groups[-1][0] > mean:
            before, many = groups.pop()
            mean, count = (mean * count + before * many) / (count + many), count + many
        groups.append((mean, count))
    level = [mean for mean, count in groups for _ in range(count)]
    return [place + i * least for i, place in enumerate(level)]
