"""Do elements fit into those that house them?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.fit.misfit import NEAR, SIZES, too_large
from mplan.scenario.wording import plain, verb
from mplan.vehicle import geometry
from mplan.vehicle.geometry import Standing


def findings(stack: tuple[Standing, ...]) -> Iterator[Finding]:
    """Yield what is longer or wider than the element that houses it; walls take no room here."""
    standing = {each.name: each for each in stack}
    for each in stack:
        house = standing.get(each.element.inside or "")
        if house is None:
            continue
        if each.top > house.top + NEAR:
            reaches = verb(each.name, "reaches", "reach")
            text = f"the {plain(each.name)} {reaches} above the top of the {plain(house.name)}"
            yield too_large(each, text, house.layout.length, each.top - house.bottom, SIZES)
        else:
            yield from _width(each, house)


def _width(each: Standing, house: Standing) -> Iterator[Finding]:
    """Find what is wider than its house: at its widest, or where the house tapers.

    Both taper evenly, so that the ends of what stands inside are the places to look at.
    """
    wider = f"{verb(each.name, 'is', 'are')} wider"
    within = f"the {plain(each.name)} {wider} than the {plain(house.name)}"
    foot = max(each.element.diameter, geometry.foot(each.element))
    if foot > house.element.diameter + NEAR:
        yield too_large(each, f"{within} round it", house.element.diameter, foot, SIZES)
        return
    ends = (
        (each.bottom - house.bottom, foot),
        (each.top - house.bottom, geometry.width_at(each.element, each.layout.length)),
    )
    for height, wide in ends:
        free = geometry.width_at(house.element, height)
        if wide > free + NEAR:
            text = f"{within}, which tapers, {height:.1f} m above its lower end"
            yield too_large(each, text, free, wide, SIZES)
            return
