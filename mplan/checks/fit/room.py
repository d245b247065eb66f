"""Is there room in an element for what it holds, and is it of a density that can be built?

An element's outline is all the room there is. Beyond what fills it to the last litre, tanks are
asked for as a builder would lay them out, and hardware for air, harness and access between it.
"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.fit.misfit import NEAR, STATED, misfit
from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element
from mplan.scenario.figures import at_least, at_most
from mplan.scenario.geometry import DOME_DEPTH, ULLAGE
from mplan.scenario.wording import plain, verb
from mplan.vehicle import geometry, layout, tankage
from mplan.vehicle.geometry import Standing

STEEL = 7850.0  # kg/m3, carbon steel (handbooks): hardware takes at least this little room
# Dry mass in an element's outline [kg/m3], more than which is unusual (common practice, no source:
# stages come to some 20 to 180, modules to 200, crew modules to 500; solid motors fill theirs).
DENSEST = 250.0
DENSEST_CREWED = 600.0
SOLID_MOTOR = "escape tower"  # the role whose dry mass is mostly a motor with its propellant
PRACTICE = "common practice, no source: dry mass in the element's outline"
LAID_OUT = "one cylinder with a common bulkhead, domes and ullage by common practice, no source"


def findings(stack: tuple[Standing, ...]) -> Iterator[Finding]:
    """Yield what is too small for its propellant and hardware, and what would be too dense."""
    for each in stack:
        if _needs(each, stack) > _outer(each.element) + NEAR:
            yield _too_small(each, stack)
            continue
        if each.element.build is None:
            yield from _tanks(each)
        yield from _dense(each)


def _needs(each: Standing, stack: tuple[Standing, ...]) -> float:
    """Return the least room [m3] for propellant, hardware and what stands inside an element."""
    inside = sum(geometry.volume(x.element) for x in stack if x.element.inside == each.name)
    return _propellant(each.element) + each.element.dry_mass / STEEL + inside


def _propellant(element: Element) -> float:
    return sum(x.full / PROPELLANTS[x.propellant].density for x in element.tanks.values())


def _outer(element: Element) -> float:
    """Return the most room [m3] an element can have: as wide as it is anywhere, all along."""
    build = element.build
    wide = max(element.diameter, (build and build.skirt_diameter) or 0.0)
    return element.bodies * tankage.area(wide) * geometry.length(element)


def _too_small(each: Standing, stack: tuple[Standing, ...]) -> Finding:
    inside = any(x.element.inside == each.name for x in stack)
    holds = "propellant, hardware and what stands inside it" if inside else "propellant"
    small = verb(each.name, "is too small for its", "are too small for their")
    text = f"the {plain(each.name)} {small} {holds}"
    figures = at_least(_needs(each, stack), _outer(each.element), "m3")
    return misfit("stops the flight", each, text, figures)


def _tanks(each: Standing) -> Iterator[Finding]:
    """Find a stated length in which the tanks, laid out as a stage's, leave no room or have none.

    What stands on the pad has its engine in its length; other engines may hang into what is below.
    """
    element = each.element
    room = _propellant(element) / (1.0 - ULLAGE) / element.bodies
    dome = DOME_DEPTH * element.diameter / 2.0
    if room <= 2.0 * tankage.dome_volume(element.diameter, dome):
        return  # small tanks have their place beside one another
    stands = each.bottom == 0.0 and element.inside is None
    engine = layout.engine_length(element) if stands else 0.0
    least = tankage.cylinder(room, element.diameter, dome).length + engine
    if least > geometry.length(element) + NEAR:
        what = "tanks and engine" if engine else "tanks"
        text = f"the {what} of the {plain(each.name)} are longer than its stated length"
        figures = at_least(least, geometry.length(element), "m")
        yield misfit("needs a decision", each, text, figures, f"{STATED}: {LAID_OUT}")


def _dense(each: Standing) -> Iterator[Finding]:
    element = each.element
    if element.role == SOLID_MOTOR:
        return
    density = element.dry_mass / geometry.volume(element)
    most = DENSEST_CREWED if element.seats else DENSEST
    if density > most:
        text = f"the {plain(each.name)} {verb(each.name, 'is', 'are')} denser than is usual: "
        text += f"{element.dry_mass / 1e3:.1f} t "
        text += f"without propellant in {geometry.volume(element):.1f} m3"
        yield misfit("needs a decision", each, text, at_most(most, density, "kg/m3", 0), PRACTICE)
