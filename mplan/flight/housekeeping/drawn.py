"""What thrusters have drawn so far, item by item: carried in the state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from mplan.scenario.thruster_budget import ItemName, PhaseName
from mplan.vehicle.evolved import evolved


class Account(NamedTuple):
    """In which phase, for what, and by whose thrusters."""

    phase: PhaseName
    item: ItemName
    element: str
    engine: str


class Drawn(NamedTuple):
    """What was asked of the tanks and what they gave [kg]; `stated` where it is not worked out."""

    asked: float
    given: float
    stated: bool = False

    def with_more(self, more: Drawn) -> Drawn:
        """Return both together."""
        return Drawn(self.asked + more.asked, self.given + more.given, more.stated)


@dataclass(frozen=True)
class ThrusterUse:
    """All of it, up to `until` [s since lift-off]."""

    until: float = 0.0
    drawn: Mapping[Account, Drawn] = field(default_factory=dict)

    def has(self, phase: PhaseName, item: ItemName) -> bool:
        """Tell whether anything was asked for an item in a phase."""
        return any((each.phase, each.item) == (phase, item) for each in self.drawn)

    def adding(self, more: Mapping[Account, Drawn]) -> ThrusterUse:
        """Return the use with more on some accounts."""
        drawn = dict(self.drawn)
        for account, each in more.items():
            now = drawn.get(account)
            drawn[account] = each if now is None else now.with_more(each)
        return evolved(self, drawn=drawn)
