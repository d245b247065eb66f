"""What turns a craft: gimballed engines, thrusters and movable fins, each at its full deflection.

Each axis by itself: what is used in pitch is taken to be there in roll as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import sin

from mplan.physics.climb import normal_force
from mplan.scenario import Engine
from mplan.scenario.wording import plain
from mplan.vehicle.control import outline, thrusting
from mplan.vehicle.control.condition import Condition, Lit, radius
from mplan.vehicle.control.contribution import Contribution

AT_ONCE = 4  # one in so many thrusters turns about one axis: a quarter (common practice, no source)


def available(at: Condition) -> tuple[tuple[Contribution, ...], float]:
    """Return what engines, fins and thrusters give, and the push of the thrusters.

    That is their acceleration [m/s2] along or across; zero without any.
    """
    thrusters = _thrusters(at)
    turning = (*_gimbals(at), *_fins(at))
    return ((*turning, thrusters[0]), thrusters[1]) if thrusters else (turning, 0.0)


def unstated(at: Condition) -> tuple[Lit, ...]:
    """Return the engines that burn and whose gimbal the scenario does not state.

    Of boosters none: what they do not state they are not counted for.
    """
    return tuple(
        lit
        for lit in at.lit
        if lit.rated(at.scenario).gimbal is None
        and at.scenario.elements[lit.element].beside is None
    )


def _gimbals(at: Condition) -> Iterator[Contribution]:
    for lit in at.lit:
        angle = lit.rated(at.scenario).gimbal
        if angle:
            yield _gimbal(at, lit, angle)


def _gimbal(at: Condition, lit: Lit, angle: float) -> Contribution:
    """Return thrust times the sine of the gimbal angle [rad] times the arm, over the inertia.

    A single engine on the axis does not roll the craft.
    """
    engine = lit.rated(at.scenario)
    across = lit.count * lit.thrust * sin(angle)
    said = f"gimbal of {engine.label or plain(lit.engine)}, {plain(lit.element)}"
    return Contribution(
        said,
        across * at.arm(lit.element) / at.properties.pitch,
        across * radius(at, lit) / at.properties.roll,
    )


def _fins(at: Condition) -> Iterator[Contribution]:
    """Yield what movable fins give: their force at full deflection, the body's effect neglected."""
    if at.air is None:
        return
    for name, element, fins, station in outline.finned(at):
        slope = normal_force.fins(fins.count, fins.area, fins.span, element.diameter)
        force = at.air.dynamic_pressure * slope * fins.deflection
        if force:
            out = element.diameter / 2.0 + fins.span / 2.0
            pitch = force * abs(station - at.properties.centre) / at.properties.pitch
            # Half of the fins give the force in pitch; all of them roll.
            yield Contribution(
                f"fins of {plain(name)}", pitch, 2.0 * force * out / at.properties.roll
            )


def _thrusters(at: Condition) -> tuple[Contribution, float] | None:
    """Return what thrusters do, and the push [m/s2]: the controller's, or those that do it best.

    In the climb the controller's alone. What stands inside another element fires none.
    """
    firing = {
        name: engine
        for name in at.feet
        for engine in at.scenario.elements[name].engines.values()
        if engine.purpose == "thrusters" and at.scenario.elements[name].inside not in at.feet
    }
    if at.controller in firing:
        return _of_one(at, at.controller, firing[at.controller])
    if at.air is not None or not firing:
        return None
    found = (_of_one(at, name, engine) for name, engine in firing.items())
    return max(found, key=lambda each: min(each[0].pitch, each[0].roll))


def _of_one(at: Condition, name: str, engine: Engine) -> tuple[Contribution, float]:
    """Return what one kind of thrusters does: a quarter of them, two at least, at once."""
    acting = min(engine.count, max(2, engine.count // AT_ONCE))
    force = acting * engine.thrust_vacuum
    middle = at.feet[name] + at.lengths[name] / 2.0
    arms = thrusting.arms(at.scenario.elements[name], engine, middle - at.properties.centre)
    pitch, roll = force * arms.pitch / at.properties.pitch, force * arms.roll / at.properties.roll
    return Contribution(f"thrusters of {plain(name)}", pitch, roll), force / at.properties.mass
