"""Does electric energy last in every element that people live in or that serves them?

People draw on the cabin they are in and on what serves it: the elements without seats that stand
under it in the same craft, down to the next cabin. Those are in use as long as it is, and any
other element sleeps. What steady supplies leave of their loads comes out of store, the lowest
element's first, as it is let go first. A surplus is not stored. Panels give nothing in the shadow
of the Moon, for the longest share of a lunar orbit that there is: the Sun in its plane.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import asin, pi

from mplan.checks.finding import Finding
from mplan.flight.record import CrewStretch, Flight
from mplan.flight.state import Craft
from mplan.physics.constants import DAY, HOUR, R_MOON
from mplan.scenario import ElementPower, Scenario
from mplan.scenario.figures import amount, at_least
from mplan.scenario.wording import plain

SOURCE = "power of the elements in the scenario"
KWH = 3.6e6  # J
TRIFLE = 1.0  # J: what rounding may leave undrawn


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


def used(flight: Flight) -> list[PowerUse]:
    """Return the electric energy of every element that was in use, in stack order."""
    scenario = flight.scenario
    found: dict[str, PowerUse] = {}
    for stretch in flight.stretches:
        group = serving(stretch.element, stretch.craft, scenario)
        for name, power in group:
            found.setdefault(name, PowerUse(name, power.stored_energy))
        _feed([(found[name], power) for name, power in group], stretch)
    return [found[name] for name in scenario.stack if name in found]


def serving(cabin: str, craft: Craft, scenario: Scenario) -> list[tuple[str, ElementPower]]:
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


def _feed(group: list[tuple[PowerUse, ElementPower]], stretch: CrewStretch) -> None:
    """Let a stretch pass: what supplies leave of the loads is drawn, the lowest element first."""
    drain = 0.0
    for use, power in group:
        supply = power.supply * (sunlit(stretch.radius) if power.solar else 1.0)
        use.time += stretch.duration
        use.supplied += supply * stretch.duration
        use.used += power.load * stretch.duration
        drain += power.load - supply
    short = max(0.0, drain) * stretch.duration
    for use, _ in group:
        drawn = min(short, use.left)
        use.drawn += drawn
        use.drain = max(0.0, drain)
        short -= drawn
    if group:
        group[-1][0].lacking += short


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each cabin whose loads its stores and those that serve it cannot feed."""
    uses = used(flight)
    for use in uses:
        if use.lacking > TRIFLE:
            yield _lacks(use, flight, uses)


def _lacks(use: PowerUse, flight: Flight, uses: Iterable[PowerUse]) -> Finding:
    stretches = [each for each in flight.stretches if each.element == use.element]
    names = {n for each in stretches for n, _ in serving(use.element, each.craft, flight.scenario)}
    served = [each for each in uses if each.element in names]
    others = [plain(each.element) for each in served if each.element != use.element]
    joined = f" with {' and '.join(others)}" if others else ""
    drawn = sum(each.drawn for each in served)
    lacking = amount(use.lacking / KWH)
    text = (
        f"{plain(use.element)}{joined} runs out of electric energy: {lacking} kWh are lacking, "
        f"{use.time / HOUR:.0f} h in use"
    )
    figures = at_least((drawn + use.lacking) / KWH, drawn / KWH, "kWh")
    return Finding("stops the flight", "power", use.element, text, *figures, SOURCE)
