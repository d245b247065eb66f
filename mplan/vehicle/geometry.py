"""Where every metre of the stack goes: elements on top of one another, from the pad up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi

from mplan.scenario import Element, Engine, Scenario
from mplan.vehicle import layout, tankage
from mplan.vehicle.layout import main_engines
from mplan.vehicle.pieces import Layout


@dataclass(frozen=True)
class Standing:
    """An element in the stack: the height of its lower end above the stack's foot [m].

    `axes` is where the axes of its bodies are seen from the side [m]: in the middle, but for
    what stands beside another element.
    """

    name: str
    element: Element
    layout: Layout
    bottom: float
    axes: tuple[float, ...] = (0.0,)

    @property
    def top(self) -> float:
        """The height of its upper end [m]."""
        return self.bottom + self.layout.length

    @property
    def carries(self) -> bool:
        """Whether the stack stands on it: it is neither inside nor beside another element."""
        return self.element.inside is None and self.element.beside is None


def length(element: Element) -> float:
    """Return an element's length [m]: as it is stated, or as its build adds up."""
    return layout.of(element).length


def standing(scenario: Scenario) -> tuple[Standing, ...]:
    """Return the stack from the pad up.

    What is inside another element stands on its floor, what is beside one as high as it; both
    omit what the stack does not hold.
    """
    found: dict[str, Standing] = {}
    tops: dict[str | None, float] = {None: 0.0}
    for name in sorted(scenario.stack, key=lambda x: _leans(scenario.elements[x])):
        element = scenario.elements[name]
        if element.beside is None:
            _stand(found, tops, name, element)
        elif element.beside in found:
            found[name] = _beside(found[element.beside], name, element)
    return tuple(found[name] for name in scenario.stack if name in found)


def _leans(element: Element) -> bool:
    return element.inside is not None or element.beside is not None


def _stand(
    found: dict[str, Standing], tops: dict[str | None, float], name: str, element: Element
) -> None:
    """Put an element on what stands already, in the open or in its house."""
    house = element.inside
    if house is not None and house not in found:
        return
    bottom = tops.setdefault(house, found[house].bottom if house else 0.0)
    found[name] = Standing(name, element, layout.of(element), bottom)
    tops[house] = found[name].top


def _beside(host: Standing, name: str, element: Element) -> Standing:
    away = (host.element.diameter + element.diameter) / 2.0
    axes = (away,) if element.bodies == 1 else (-away, away)
    return Standing(name, element, layout.of(element), host.bottom, axes)


def width(stack: Sequence[Standing]) -> float:
    """Return the greatest width of the stack [m]: the circle round it, about its axis."""
    return max(
        2.0 * max(each.axes) + max(each.element.diameter, foot(each.element)) for each in stack
    )


def top_width(element: Element) -> float:
    """Return the width of one body's upper end [m]."""
    return element.top_diameter or element.diameter


def width_at(element: Element, height: float) -> float:
    """Return the width [m] of one body at a `height` [m] above its lower end.

    What states its length tapers evenly to its top diameter; what is built does so above its tanks.
    """
    if element.build is not None:
        return element.diameter
    share = min(1.0, max(0.0, height / length(element)))
    return element.diameter + share * (top_width(element) - element.diameter)


def volume(element: Element) -> float:
    """Return the volume [m3] inside an element's outline, of all its bodies."""
    wide, narrow = element.diameter, width_at(element, length(element))
    cone = (wide**2 + wide * narrow + narrow**2) / 3.0
    return element.bodies * pi / 4.0 * cone * length(element)


def foot_width(stack: Sequence[Standing]) -> float:
    """Return the width [m] of what the stack stands on, boosters included."""
    lowest = min(each.bottom for each in stack)
    return max(
        2.0 * max(each.axes) + foot(each.element)
        for each in stack
        if each.bottom == lowest and each.element.inside is None
    )


def engine_circle(element: Element) -> float | None:
    """Return the circle round the nozzles of one body [m], None where no size is stated."""
    spacing = 1.0 if element.build is None else element.build.engine_spacing
    circles = [
        tankage.cluster(on_one(element, each), each.exit_diameter, spacing * each.exit_diameter)[0]
        for each in main_engines(element)
        if each.exit_diameter is not None
    ]
    return max(circles, default=None)


def on_one(element: Element, engine: Engine) -> int:
    """Return how many engines of a kind one body of an element has, at least one."""
    return max(1, engine.count // element.bodies)


def foot(element: Element) -> float:
    """Return the width of one body's lower end [m], engines and fins included."""
    build = element.build
    skirt = (build and build.skirt_diameter) or element.diameter
    return max(skirt, (build and build.base_span) or 0.0, engine_circle(element) or 0.0)
