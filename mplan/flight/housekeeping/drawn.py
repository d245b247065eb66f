"""What thrusters have drawn so far, item by item: carried in the state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from mplan.scenario.thruster_budget import ItemName, PhaseName


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


@dataclass(frozen=True)
class ThrusterUse:
    """All of it, up to `until` [s since lift-off]; `lengths` [m] are those of the elements."""

    lengths: Mapping[str, float]
    until: float = 0.0
    drawn: Mapping[Account, Drawn] = field(default_factory=dict)

    def has(self, phase: PhaseName, item: ItemName) -> bool:
        """Tell whether anything was asked for an item in a phase."""
        return any((each.phase, each.item) == (phase, item) for each in self.drawn)

    def adding(self, account: Account, more: Drawn) -> ThrusterUse:
        """Return the use with more on one account."""
        now = self.drawn.get(account, Drawn(0.0, 0.0))
        total = Drawn(now.asked + more.asked, now.given + more.given, more.stated)
        return replace(self, drawn={**self.drawn, account: total})
