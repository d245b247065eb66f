"""An element laid out from its `[build]`: engines, tanks and structure, from its lower end up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element, Engine
from mplan.scenario.geometry import Build, TankBuild
from mplan.scenario.stated import stated
from mplan.vehicle import tankage
from mplan.vehicle.abreast import around
from mplan.vehicle.pieces import Kind, Layout, Piece, Placed
from mplan.vehicle.same import remembered
from mplan.vehicle.tankage import Vessel

Loads = Mapping[str, float]  # kg, by tank


def of(element: Element, loads: Loads | None = None) -> Layout:
    """Return an element's pieces and tanks; with `loads` [kg] by tank in place of its own."""
    return _laid_out(element, loads) if loads else _as_it_is(element)


@remembered(256)  # the elements of some missions: a flight asks a hundred times
def _as_it_is(element: Element) -> Layout:
    """Return an element laid out with its own loads, remembered for a while."""
    return _laid_out(element, {})


def _laid_out(element: Element, loads: Loads) -> Layout:
    if element.build is None:
        length = stated(element.length, "length")
        return Layout((Piece("length as stated", "as stated", 0.0, length, element.diameter),))
    return _ARRANGED[element.build.arrangement](element, element.build, loads)


def main_loads(element: Element) -> dict[str, float]:
    """Return the loads [kg] of the tanks that main engines draw from."""
    drawn = {tank for each in main_engines(element) for tank in (each.fuel, each.oxidiser)}
    return {name: tank.load for name, tank in element.tanks.items() if name in drawn}


def engine_length(element: Element) -> float:
    """Return the length of the longest main engine [m], zero where none is stated."""
    return max((each.length or 0.0 for each in main_engines(element)), default=0.0)


def main_engines(element: Element) -> list[Engine]:
    """Return the kinds of engines that fly burns."""
    return [each for each in element.engines.values() if each.purpose == "main"]


@dataclass(frozen=True)
class _Required:
    """What one main tank is to hold, and in what shape."""

    tank: str
    propellant: str
    load: float
    volume: float  # m3, of each of `count`
    count: int
    diameter: float
    dome: float  # m
    sphere: bool

    def vessel(self) -> Vessel:
        if self.sphere:
            return tankage.sphere(self.volume)
        return tankage.cylinder(self.volume, self.diameter, self.dome)

    def placed(self, vessel: Vessel, shoulder: float) -> Placed:
        return Placed(
            self.tank, self.propellant, self.load, vessel, shoulder, self.count, self.volume
        )


def _required(element: Element, build: Build, loads: Loads) -> list[_Required]:
    """Return the main tanks of one body from the bottom up."""
    own = main_loads(element)
    return [
        _one_required(element, build, name, loads.get(name, own[name]))
        for name in build.order or own
    ]


def _one_required(element: Element, build: Build, name: str, load: float) -> _Required:
    odd = build.tanks.get(name, TankBuild())
    holds = element.tanks[name]
    propellant = holds.propellant
    largest = load if holds.capacity is None else max(load, holds.capacity)
    ullage = build.ullage if odd.ullage is None else odd.ullage
    diameter = odd.diameter or build.diameter or element.diameter
    depth = odd.dome_depth or build.dome_depth
    count = odd.count * element.bodies
    volume = tankage.room(largest, PROPELLANTS[propellant].density, ullage) / count
    sphere = odd.shape == "sphere"
    return _Required(
        name, propellant, load, volume, odd.count, diameter, depth * diameter / 2.0, sphere
    )


class _Column:
    """Pieces put on top of one another."""

    def __init__(self, element: Element) -> None:
        self.pieces: list[Piece] = []
        self.height, self._wide = 0.0, element.diameter

    def add(self, name: str, kind: Kind, length: float, diameter: float | None = None) -> None:
        if length > 0.0:
            self.pieces.append(Piece(name, kind, self.height, length, diameter or self._wide))
            self.height += length


def _over_engines(element: Element, build: Build) -> _Column:
    """Return the column up to the lowest tank of an element that stands on its engines."""
    column = _Column(element)
    hangs = f", {build.nested:.1f} m more below" if build.nested else ""
    wide = build.skirt_diameter
    column.add(f"engines{hangs}", "engines", engine_length(element) - build.nested, wide)
    column.add("thrust structure", "structure", build.base)
    return column


def _separate(element: Element, build: Build, loads: Loads) -> Layout:
    column, tanks = _over_engines(element, build), []
    required = _required(element, build, loads)
    for i, each in enumerate(required):
        vessel = each.vessel()
        tanks.append(each.placed(vessel, column.height + vessel.dome))
        _add_tank(column, each, vessel)
        if i + 1 < len(required):
            column.add(f"between {each.tank} and {required[i + 1].tank}", "structure", build.gap)
    column.add("structure above", "structure", build.top)
    return Layout(tuple(column.pieces), tuple(tanks))


def _add_tank(column: _Column, required: _Required, vessel: Vessel) -> None:
    wide, many = around((required.placed(vessel, 0.0),)), "s" if required.count > 1 else ""
    if required.sphere:
        column.add(f"{required.tank} sphere{many}", "tanks", vessel.length, wide)
        return
    column.add(f"{required.tank} tank{many}, lower dome", "dome", vessel.dome, wide)
    column.add(f"{required.tank} tank{many}, cylinder", "cylinder", vessel.cylinder, wide)
    column.add(f"{required.tank} tank{many}, upper dome", "dome", vessel.dome, wide)


def _common(element: Element, build: Build, loads: Loads) -> Layout:
    column = _over_engines(element, build)
    lower, upper = _required(element, build, loads)
    below, above = tankage.common_bulkhead(
        lower.volume, upper.volume, lower.diameter, lower.dome, build.bulkhead
    )
    shoulder = column.height + lower.dome
    inside = " (bulkhead in it)"
    marks = ("", inside) if build.bulkhead == "up" else (inside, "")
    column.add(f"{lower.tank} tank, lower dome", "dome", lower.dome, lower.diameter)
    for each, vessel, mark in ((lower, below, marks[0]), (upper, above, marks[1])):
        name = f"{each.tank} tank, cylinder{mark}"
        column.add(name, "cylinder", vessel.cylinder, each.diameter)
    column.add(f"{upper.tank} tank, upper dome", "dome", upper.dome, upper.diameter)
    column.add("structure above", "structure", build.top)
    tanks = lower.placed(below, shoulder), upper.placed(above, shoulder + below.cylinder)
    return Layout(tuple(column.pieces), tanks)


def _clustered(element: Element, build: Build, loads: Loads) -> Layout:
    column = _over_engines(element, build)
    tanks = _abreast(element, build, loads, column.height)
    column.add(_named(tanks), "tanks", _tallest(tanks), around(tanks))
    column.add("structure above", "structure", build.top)
    return Layout(tuple(column.pieces), tanks)


def _side(element: Element, build: Build, loads: Loads) -> Layout:
    """Tanks round the engine, which reaches as high as it is long."""
    column = _Column(element)
    tanks = _abreast(element, build, loads, build.base)
    column.add("below the tanks", "structure", build.base)
    column.add(f"{_named(tanks)} beside the engine", "tanks", _tallest(tanks), around(tanks))
    engine = engine_length(element) - build.nested
    column.add("engine above the tanks", "engines", engine - column.height)
    column.add("structure above", "structure", build.top)
    return Layout(tuple(column.pieces), tanks)


def _abreast(element: Element, build: Build, loads: Loads, floor: float) -> tuple[Placed, ...]:
    """Return tanks side by side, all standing at height `floor` [m]."""
    pairs = [(each, each.vessel()) for each in _required(element, build, loads)]
    return tuple(each.placed(vessel, floor + vessel.dome) for each, vessel in pairs)


def _tallest(tanks: tuple[Placed, ...]) -> float:
    return max(each.vessel.length for each in tanks)


def _named(tanks: tuple[Placed, ...]) -> str:
    texts = [f"{x.count} {x.tank}" if x.count > 1 else x.tank for x in tanks]
    return f"{' and '.join(texts)} tanks"


_ARRANGED = {
    "separate": _separate,
    "common bulkhead": _common,
    "clustered": _clustered,
    "side": _side,
}
