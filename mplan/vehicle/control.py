"""Who steers a craft, and how briskly engines and thrusters turn and push it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import sin
from typing import NamedTuple

from mplan.scenario import Engine, Scenario
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.inertia import Inertia

# Whose unit steers where no burn decides: the launcher's while it is there, then the ship's.
STEERS = (
    "launch stage",
    "transfer stage",
    "service module",
    "crew module",
    "descent stage",
    "ascent stage",
)
AT_ONCE = 4  # one in so many thrusters turns about one axis: a quarter (common practice, no source)


class Authority(NamedTuple):
    """Angular accelerations [rad/s2] in pitch (and yaw) and in roll, and what makes them.

    None where nothing turns the craft, or where a gimbal is not stated; `push` [m/s2] is that
    of thrusters along or across.
    """

    pitch: float | None
    roll: float | None
    push: float | None
    source: str


def steering(craft: Iterable[str], scenario: Scenario, burning: str | None = None) -> str | None:
    """Return the element whose control unit steers: that of what burns, or by `STEERS`.

    None where no joined element has a unit.
    """
    units = [name for name in craft if scenario.elements[name].control_capacity is not None]
    if burning in units:
        return burning
    known = [name for name in units if scenario.elements[name].role in STEERS]
    ranked = sorted(known, key=lambda name: STEERS.index(scenario.elements[name].role))
    return ranked[0] if ranked else next(iter(units), None)


def authority(
    craft: Iterable[str],
    scenario: Scenario,
    properties: Inertia,
    lengths: Mapping[str, float],
    steers: str | None = None,
    burning: tuple[str, str] | None = None,
) -> Authority:
    """Return what a craft's engines and thrusters do to it.

    `burning` names an element and its main engine that is lit; else thrusters alone turn it:
    those of the element that `steers`, or else of the one that does it best. What stands inside
    another element fires none. `lengths` [m] by element.
    """
    feet, _ = inertia.stations(craft, scenario, lengths)
    best = _best_thrusters(feet, scenario, properties, lengths, steers)
    if burning is None:
        return best
    name, key = burning
    engine = scenario.elements[name].engines[key]
    if engine.purpose != "main":
        return best
    if engine.gimbal == 0.0:
        return best
    if engine.gimbal is None:
        said = f"gimbal of {plain(name)} not stated"
        return best._replace(pitch=None, roll=best.roll if engine.count == 1 else None, source=said)
    force = engine.count * engine.thrust_vacuum * sin(engine.gimbal)
    pitch = force * abs(properties.centre - feet[name]) / properties.pitch
    source = f"gimbal of {engine.label or plain(key)}"
    if engine.count == 1:
        rolled = f"{source}; roll: {best.source}" if best.source else f"{source}; no roll"
        return Authority(pitch, best.roll, best.push, rolled)
    arm = engine.lever_arm or scenario.elements[name].diameter / 4.0
    return Authority(pitch, force * arm / properties.roll, best.push, source)


def _best_thrusters(
    feet: dict[str, float],
    scenario: Scenario,
    properties: Inertia,
    lengths: Mapping[str, float],
    steers: str | None,
) -> Authority:
    found = {
        name: _thrusters(name, engine, foot + lengths[name] / 2.0, scenario, properties)
        for name, foot in feet.items()
        for engine in scenario.elements[name].engines.values()
        if engine.purpose == "thrusters" and scenario.elements[name].inside not in feet
    }
    if steers in found:
        return found[steers]
    if not found:
        return Authority(None, None, None, "")
    return max(found.values(), key=lambda each: min(each.pitch, each.roll))


def _thrusters(
    name: str, engine: Engine, middle: float, scenario: Scenario, properties: Inertia
) -> Authority:
    """Return what one kind of thrusters does: a quarter of them, two at least, at once."""
    acting = min(engine.count, max(2, engine.count // AT_ONCE))
    force, half = acting * engine.thrust_vacuum, scenario.elements[name].diameter / 2.0
    away = abs(middle - properties.centre)
    pitch = force * (engine.lever_arm or max(away, half)) / properties.pitch
    roll = force * (engine.lever_arm or half) / properties.roll
    return Authority(pitch, roll, force / properties.mass, f"thrusters of {plain(name)}")
