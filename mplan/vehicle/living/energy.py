"""Electric energy: which elements feed a cabin, and what a span of time draws from store.

People draw on the cabin they are in and on what serves it: the elements without seats that stand
under it in the same craft, down to the next cabin. Those are in use as long as it is, and any
other element sleeps. What steady supplies leave of their loads comes out of store, the lowest
element's first, as it is let go first. A surplus is not stored. Panels give nothing in the shadow
of the Moon, for the longest share of a lunar orbit that there is: the Sun in its plane.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, pi

from mplan.physics.constants import DAY, R_MOON
from mplan.scenario import ElementPower, Scenario


@dataclass
class PowerUse:
    """The electric energy of one element over the mission [J], and how long it was in use [s].

    `drawn` of what was `stored` fed its own load and those it serves, which came to `drain` [W]
    when it was last in use; `lacking` is what nobody could feed.
    """

    element: str
    stored: float
    time: float = 0.0
    drain: float = 0.0
    supplied: float = 0.0
    used: float = 0.0
    drawn: float = 0.0
    lacking: float = 0.0

    @property
    def left(self) -> float:
        """What is still stored [J]."""
        return self.stored - self.drawn

    @property
    def days_left(self) -> float | None:
        """How long that feeds what it fed last [d]; None where that took nothing."""
        return self.left / self.drain / DAY if self.drain else None


def serving(
    cabin: str, craft: tuple[str, ...], scenario: Scenario
) -> list[tuple[str, ElementPower]]:
    """Return a cabin and what serves it, each with its power, the lowest first."""
    below = craft[: craft.index(cabin) + 1] if cabin in craft else (cabin,)
    group = [cabin]
    for name in reversed(below[:-1]):
        if scenario.elements[name].seats:
            break
        group.append(name)
    powers = ((name, scenario.elements[name].power) for name in reversed(group))
    return [(name, power) for name, power in powers if power is not None]


def sunlit(radius: float | None) -> float:
    """Return the share of a circular lunar orbit of `radius` [m] in the Sun, at its least."""
    return 1.0 if radius is None else 1.0 - asin(min(1.0, R_MOON / radius)) / pi


def feed(
    group: Sequence[tuple[PowerUse, ElementPower]], duration: float, radius: float | None
) -> None:
    """Let `duration` [s] pass, on a lunar orbit of `radius` [m] or elsewhere.

    What supplies leave of the loads is drawn, the lowest element first.
    """
    drain = 0.0
    for use, power in group:
        supply = power.supply * (sunlit(radius) if power.solar else 1.0)
        use.time += duration
        use.supplied += supply * duration
        use.used += power.load * duration
        drain += power.load - supply
    short = max(0.0, drain) * duration
    for use, _ in group:
        drawn = min(short, use.left)
        use.drawn += drawn
        use.drain = max(0.0, drain)
        short -= drawn
    if group:
        group[-1][0].lacking += short
