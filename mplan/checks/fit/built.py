"""Do tanks and engines fit the elements that are built of them, and one another?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from mplan.checks.finding import Finding
from mplan.checks.fit.misfit import NEAR, misfit, too_large
from mplan.scenario import Element
from mplan.scenario.figures import Figures, Measured, apart, at_most
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.vehicle import abreast, geometry
from mplan.vehicle.geometry import Standing

TANDEM = ("separate", "common bulkhead")  # tanks above one another


def findings(stack: tuple[Standing, ...]) -> Iterator[Finding]:
    """Yield what has no room in an element, or at the joint of two."""
    for each in stack:
        if each.element.build is not None:
            yield from _domes(each)
            yield from _abreast(each)
        yield from _nozzles(each)
    yield from _hanging(stack)


def _domes(each: Standing) -> Iterator[Finding]:
    for tank in each.layout.tanks:
        if tank.spare > NEAR:
            name, across = f"the {plain(each.name)}'s {tank.tank} tank", tank.vessel.diameter
            text = f"the domes of {name} alone hold more than its load: it stays part empty"
            first, second = apart(tank.vessel.volume, tank.volume)
            yield misfit(
                "needs a decision",
                each,
                text,
                Figures(
                    f"{first} m3 at least, {across:.2f} m across",
                    f"{second} m3",
                    Measured(tank.vessel.volume, tank.volume, "m3", least=True),
                ),
            )


def _abreast(each: Standing) -> Iterator[Finding]:
    """Find tanks side by side that need more room than there is, alone or round the engine."""
    build, tanks = stated(each.element.build, "build"), each.layout.tanks
    tiers = [(tank,) for tank in tanks] if build.arrangement in TANDEM else [tanks]
    across = max(abreast.around(tier) for tier in tiers)
    if across > each.element.diameter + NEAR:
        text = f"the tanks of the {plain(each.name)} are wider than it"
        yield too_large(each, text, each.element.diameter, across)
    engine, room = geometry.engine_circle(each.element) or 0.0, hollow(each)
    if build.arrangement == "side" and engine > room + NEAR:
        text = f"the engine of the {plain(each.name)} does not fit between its tanks"
        yield too_large(each, text, max(0.0, room), engine)


def hollow(each: Standing) -> float:
    """Return the width [m] left in the middle of tanks that stand along the wall."""
    widest = max(tank.vessel.diameter for tank in each.layout.tanks)
    return each.element.diameter - 2.0 * widest


def _nozzles(each: Standing) -> Iterator[Finding]:
    circle, skirt = geometry.engine_circle(each.element), _skirt(each.element)
    if circle is not None and circle > skirt + NEAR:
        edge = "beyond its skirt" if each.element.build else "beyond its width"
        text = f"the nozzles of the {plain(each.name)} reach {edge}"
        figures = at_most(skirt, circle, "m", 2)
        figures = figures._replace(found=f"a circle of {figures.found}")
        yield misfit("needs a decision", each, text, figures)


def _skirt(element: Element) -> float:
    return (element.build and element.build.skirt_diameter) or element.diameter


def _hanging(stack: tuple[Standing, ...]) -> Iterator[Finding]:
    """Find nozzles that hang into what is below, and have no room there."""
    for below, each in pairwise(x for x in stack if x.carries):
        hangs = 0.0 if each.element.build is None else each.element.build.nested
        if hangs <= 0.0:
            continue
        free, over = _free(below, stack)
        if free is not None and hangs > free + NEAR:
            text = f"the nozzles of the {plain(each.name)} reach into {over}"
            limit, found = apart(free, hangs, 2)
            measure = Measured(free, hangs, "m", 2)
            figures = Figures(f"{limit} m free above it", f"{found} m", measure)
            yield misfit("stops the flight", each, text, figures)
        circle, open_ = geometry.engine_circle(each.element), geometry.top_width(below.element)
        if circle is not None and circle > open_ + NEAR:
            text = f"the nozzles of the {plain(each.name)} hang into the {plain(below.name)}, "
            yield too_large(each, f"{text}whose upper end is narrower", open_, circle)


def _free(below: Standing, stack: tuple[Standing, ...]) -> tuple[float | None, str]:
    """Return the height free in the upper end of an element [m], and what is under it.

    None where nothing says: what states no build and houses nothing is taken to be hollow, and
    what stands out of its house is told as that.
    """
    inside = [each for each in stack if each.element.inside == below.name]
    if any(each.top > below.top for each in inside):
        return None, ""
    if inside:
        highest = max(inside, key=lambda each: each.top)
        return below.top - highest.top, f"the {plain(highest.name)}"
    if below.element.build is None:
        return None, ""
    return below.element.build.top, f"the tank of the {plain(below.name)}"
