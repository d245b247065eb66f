"""Electric energy: which elements feed a cabin, and what a span of time draws from store.

People draw on the cabin they are in and on what serves it: the elements without seats that stand
under it in the same craft, down to the next cabin. Those are in use as long as it is. The other
elements of a craft are on stand-by and feed each other's stand-by loads. What steady supplies
leave of the loads comes out of store, the lowest element's first, as it is let go first. A surplus
charges the batteries that say what they take, on the mean of an event; nothing else stores it.
Steady panels give nothing in the shadow of the Moon, for the longest share of a lunar orbit that
there is: the Sun in its plane; arrays by the share of the orbit as it lies to the Sun.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import asin, pi
from typing import NamedTuple

from mplan.physics.constants import DAY, R_MOON
from mplan.scenario import Element, ElementPower, Scenario
from mplan.vehicle.same import remembered

Group = tuple[tuple[str, ElementPower], ...]  # elements with their power


class Sunlight(NamedTuple):
    """What panels see through a span: the `share` of it in the Sun, how strong the Sun is of that
    at 1 au, whether they stand on the Moon."""

    share: float = 1.0
    strength: float = 1.0
    on_moon: bool = False


class Around(NamedTuple):
    """What is about a craft through a span: its phase, its sunlight."""

    phase: str = ""
    sun: Sunlight = Sunlight()


NOTHING_SPECIAL = Around()


@dataclass
class PowerUse:
    """The electric energy of one element [J], and how long it was in use and on `standby` [s].

    `drawn` of what was `stored` fed its own load and those it serves, which came to `drain` [W]
    when it last fed any; the `deepest` that it was drawn down before it was charged again.
    `lacking` is what nobody could feed in use, `missed` on stand-by, from `empty` [s since
    lift-off] on. What is `used` has the stand-by loads in it.
    """

    element: str
    stored: float
    time: float = 0.0
    drain: float = 0.0
    supplied: float = 0.0
    used: float = 0.0
    drawn: float = 0.0
    lacking: float = 0.0
    standby: float = 0.0
    missed: float = 0.0
    empty: float | None = None
    deepest: float = 0.0

    @property
    def left(self) -> float:
        """What is still stored [J]."""
        return self.stored - self.drawn

    @property
    def days_left(self) -> float | None:
        """How long that feeds what it fed last [d]; None where that took nothing."""
        return self.left / self.drain / DAY if self.drain else None


def serving(cabin: str, craft: tuple[str, ...], scenario: Scenario) -> Group:
    """Return a cabin and what serves it, each with its power, the lowest first."""
    return _serving(scenario.elements, cabin, craft)


@remembered(256)  # asked for with every span of time
def _serving(elements: Mapping[str, Element], cabin: str, craft: tuple[str, ...]) -> Group:
    powers = ((name, elements[name].power) for name in down_from(cabin, craft, elements))
    return tuple((name, power) for name, power in powers if power is not None)


def down_from(
    cabin: str, craft: tuple[str, ...], elements: Mapping[str, Element]
) -> tuple[str, ...]:
    """Return a cabin and what stands under it without seats of its own, the lowest first."""
    below = craft[: craft.index(cabin) + 1] if cabin in craft else (cabin,)
    group = [cabin]
    for name in reversed(below[:-1]):
        if elements[name].seats:
            break
        group.append(name)
    return tuple(reversed(group))


def asleep(craft: tuple[str, ...], cabins: Iterable[str], scenario: Scenario) -> Group:
    """Return what no cabin in use draws on in a craft, each with its power, the lowest first.

    Nothing where none of it has a stand-by load: there is nothing to feed.
    """
    return _asleep(scenario.elements, craft, tuple(cabins))


@remembered(256)
def _asleep(
    elements: Mapping[str, Element], craft: tuple[str, ...], cabins: tuple[str, ...]
) -> Group:
    awake = {name for cabin in cabins for name, _ in _serving(elements, cabin, craft)}
    powers = ((name, elements[name].power) for name in craft if name not in awake)
    found = tuple((name, power) for name, power in powers if power is not None)
    return found if any(power.standby_load for _, power in found) else ()


def sunlit(radius: float | None) -> float:
    """Return the share of a circular lunar orbit of `radius` [m] in the Sun, at its least."""
    return 1.0 if radius is None else 1.0 - asin(min(1.0, R_MOON / radius)) / pi


def from_arrays(power: ElementPower, sun: Sunlight) -> float:
    """Return what an element's arrays give [W]: pointed as stated, by the Sun there is."""
    arrays = power.arrays
    if arrays is None:
        return 0.0
    pointing = arrays.pointing
    if sun.on_moon and arrays.pointing_on_moon is not None:
        pointing = arrays.pointing_on_moon
    return arrays.power * pointing * sun.strength * sun.share


def feed(
    group: Sequence[tuple[PowerUse, ElementPower]],
    duration: float,
    radius: float | None,
    *,
    standby: bool = False,
    around: Around = NOTHING_SPECIAL,
) -> float:
    """Let `duration` [s] pass, on a lunar orbit of `radius` [m] or elsewhere, in use or not.

    What supplies leave of the loads is drawn, the lowest element first, none more than its store
    gives at most; what they give beyond charges batteries. Returns the time [s] at the end of it
    for which nothing is left to draw.
    """
    drain = 0.0
    for use, power in group:
        supply = power.supply * (sunlit(radius) if power.solar else 1.0)
        supply += from_arrays(power, around.sun)
        load = power.load_in(around.phase, standby=standby)
        use.time += 0.0 if standby else duration
        use.standby += duration if standby else 0.0
        use.supplied += supply * duration
        use.used += load * duration
        drain += load - supply
    _charge(group, max(0.0, -drain), duration)
    short = max(0.0, drain) * duration
    for use, power in group:
        drawn = max(0.0, min(short, use.left, power.most * duration))
        use.drawn += drawn
        use.deepest = max(use.deepest, use.drawn)
        use.drain = max(0.0, drain)
        short -= drawn
    if group and standby:
        group[-1][0].missed += short
    elif group:
        group[-1][0].lacking += short
    return short / drain if short > 0.0 else 0.0


def _charge(
    group: Sequence[tuple[PowerUse, ElementPower]], surplus: float, duration: float
) -> None:
    """Put a surplus [W] into batteries, the cabin's own first, as it is let go last."""
    for use, power in reversed(group):
        battery = power.battery
        if battery is None or surplus <= 0.0 or duration <= 0.0 or not battery.efficiency:
            continue
        room = use.drawn / battery.efficiency / duration
        into = min(surplus, battery.charge_limit, room)
        use.drawn -= into * battery.efficiency * duration
        surplus -= into
