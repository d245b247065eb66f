"""Do tanks and engines fit the elements that are built of them?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from mplan.checks.finding import Finding, Severity
from mplan.flight.record import Flight
from mplan.scenario import Element, Scenario
from mplan.scenario.figures import Figures, apart, at_most
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.vehicle import abreast, geometry
from mplan.vehicle.geometry import Standing

SIZES = "geometry, from the element's [build]"
TANDEM = ("separate", "common bulkhead")  # tanks above one another
NEAR = 1e-6  # m: rounding is no collision


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each thing that has no room where the scenario puts it."""
    yield from of(flight.scenario)


def of(scenario: Scenario) -> Iterator[Finding]:
    """Yield what does not fit in a scenario, flown or not."""
    stack = geometry.standing(scenario)
    for each in stack:
        if each.element.build is not None:
            yield from _domes(each)
            yield from _abreast(each)
            yield from _nozzles(each)
    yield from _hanging(stack)
    yield from _inside(stack, scenario)


def _domes(each: Standing) -> Iterator[Finding]:
    for tank in each.layout.tanks:
        if tank.spare > NEAR:
            name, across = f"the {plain(each.name)}'s {tank.tank} tank", tank.vessel.diameter
            text = f"the domes of {name} alone hold more than its load: it stays part empty"
            first, second = apart(tank.vessel.volume, tank.volume)
            yield _finding(
                "needs a decision",
                each,
                text,
                Figures(f"{first} m3 at least, {across:.2f} m across", f"{second} m3"),
            )


def _abreast(each: Standing) -> Iterator[Finding]:
    """Find tanks side by side that need more room than there is, alone or round the engine."""
    build, tanks = stated(each.element.build, "build"), each.layout.tanks
    tiers = [(tank,) for tank in tanks] if build.arrangement in TANDEM else [tanks]
    across = max(abreast.around(tier) for tier in tiers)
    if across > each.element.diameter + NEAR:
        text = f"the tanks of the {plain(each.name)} are wider than it"
        yield _wide(each, text, each.element.diameter, across)
    engine, room = geometry.engine_circle(each.element) or 0.0, hollow(each)
    if build.arrangement == "side" and engine > room + NEAR:
        text = f"the engine of the {plain(each.name)} does not fit between its tanks"
        yield _wide(each, text, max(0.0, room), engine)


def hollow(each: Standing) -> float:
    """Return the width [m] left in the middle of tanks that stand along the wall."""
    widest = max(tank.vessel.diameter for tank in each.layout.tanks)
    return each.element.diameter - 2.0 * widest


def _nozzles(each: Standing) -> Iterator[Finding]:
    circle, skirt = geometry.engine_circle(each.element), _skirt(each.element)
    if circle is not None and circle > skirt + NEAR:
        text = f"the nozzles of the {plain(each.name)} reach beyond its skirt"
        limit, found = at_most(skirt, circle, "m", 2)
        yield _finding("needs a decision", each, text, Figures(limit, f"a circle of {found}"))


def _skirt(element: Element) -> float:
    return stated(element.build, "build").skirt_diameter or element.diameter


def _hanging(stack: tuple[Standing, ...]) -> Iterator[Finding]:
    """Find nozzles that hang into what is below; what states no build is taken to be hollow."""
    for below, each in pairwise(x for x in stack if x.carries):
        if each.element.build is None or below.element.build is None:
            continue
        hangs, free = each.element.build.nested, below.element.build.top
        if hangs > free + NEAR:
            text = f"the nozzles of the {plain(each.name)} reach into the tank of the "
            limit, found = apart(free, hangs, 2)
            figures = Figures(f"{limit} m free above that tank", f"{found} m")
            yield _finding("stops the flight", each, text + plain(below.name), figures)


def _inside(stack: tuple[Standing, ...], scenario: Scenario) -> Iterator[Finding]:
    """Find what is longer or wider than the element that houses it."""
    standing = {each.name: each for each in stack}
    for each in stack:
        house = standing.get(each.element.inside or "")
        if house is None:
            continue
        if each.top > house.top + NEAR:
            text = f"the {plain(each.name)} reaches above the top of the {plain(house.name)}"
            yield _wide(each, text, house.layout.length, each.top - house.bottom)
        if each.element.diameter > house.element.diameter + NEAR:
            text = f"the {plain(each.name)} is wider than the {plain(house.name)} round it"
            yield _wide(each, text, house.element.diameter, each.element.diameter)


def _wide(each: Standing, text: str, most: float, is_: float) -> Finding:
    return _finding("stops the flight", each, text, at_most(most, is_, "m", 2))


def _finding(severity: Severity, each: Standing, text: str, figures: Figures) -> Finding:
    return Finding(severity, "fit", each.name, text, *figures, SIZES)
