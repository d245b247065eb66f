"""Electric energy, drawn from every store of a flight as time passes, and the water it makes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from mplan.flight.living.around import around
from mplan.flight.state import State
from mplan.scenario import ElementPower, Scenario
from mplan.vehicle.ledger import Ledger
from mplan.vehicle.living.account import FRESH, NONE, LivingAccount
from mplan.vehicle.living.energy import Group, PowerUse, asleep, feed, serving

Accounts = dict[str, LivingAccount]


class Hurt(NamedTuple):
    """What has failed: `stored` [J] is all an element could give, `supply` a share that is left.

    `load` is the share of loads in use that stays on. The cabins that `leak` hold no air: their
    crew are in suits, which leak instead.
    """

    stored: Mapping[str, float] = MappingProxyType({})
    supply: float = 1.0
    load: float = 1.0
    leak: frozenset[str] = frozenset()


SOUND = Hurt()


def could_give(scenario: Scenario, ledger: Ledger, name: str) -> float:
    """Return the energy [J] that an element's store gives in all, with what it has given.

    As stated, or as far as the reactants go that are left in its fuel cells' tanks.
    """
    power = scenario.elements[name].power
    if power is None:
        return 0.0
    cells = power.fuel_cell
    if cells is None or not cells.from_tanks:
        return power.stored_energy
    left = min(
        max(0.0, ledger.levels[name, tank] - ledger.unusable[name, tank]) / share
        for tank, share in cells.from_tanks.items()
    )
    return min(power.stored_energy, ledger.account(name).drawn + left / cells.reactants)


class Feeding:
    """All loads of a flight, fed for a time [s] on the books of a ledger.

    `during` tells who was where. Accounts are changed in place; the ledger has tanks and all.
    """

    def __init__(
        self, during: State, ledger: Ledger, accounts: Accounts, passed: float, hurt: Hurt
    ) -> None:
        """Begin with the books as they are."""
        self.during, self.before, self.accounts, self.hurt = during, ledger, accounts, hurt
        self.passed = passed
        self.levels = dict(ledger.levels)
        self.radius = during.moon.shadow_radius if during.moon else None

    def all(self) -> Mapping[str, float]:
        """Feed stand-by loads and cabins; returns what lacked [J], by cabin in use."""
        cabins = [name for name, crew in self.during.crew.items() if crew]
        for craft in self.during.craft:  # water of what nobody uses goes overboard
            group = asleep(craft, cabins, self.during.scenario)
            self._fed(group, craft, standby=True)
        lacking = {}
        for cabin in cabins:
            craft = self.during.joined(cabin)
            group = serving(cabin, craft, self.during.scenario)
            lacking[cabin], made = self._fed(group, craft)
            if made > 0.0:
                carried = self.during.scenario.elements[cabin].supplies or NONE
                account = self.accounts.get(cabin, FRESH)
                self.accounts[cabin] = account.given_water(made, carried)
        return lacking

    def ledger(self, elapsed: float) -> Ledger:
        """Return the ledger with what was drawn up to a time [s since lift-off]."""
        return self.before.after_living(self.levels, self.accounts, elapsed)

    def _fed(
        self, group: Group, craft: tuple[str, ...], *, standby: bool = False
    ) -> tuple[float, float]:
        """Feed a group; returns the energy [J] that lacked and the water [kg] that was made."""
        if not group:
            return 0.0, 0.0
        there = around(self.during, craft, self.passed)
        uses = [self._use(name, power) for name, power in group]
        feed(uses, self.passed, self.radius, standby=standby, around=there)
        made = sum(self._drawn(use, power) for use, power in uses)
        return sum(use.lacking for use, _ in uses), made

    def _use(self, name: str, power: ElementPower) -> tuple[PowerUse, ElementPower]:
        """Return what an element has drawn so far, and its power as it still is."""
        stored = could_give(self.during.scenario, self.before, name)
        stored = min(stored, self.hurt.stored.get(name, stored))
        if (self.hurt.supply, self.hurt.load) != (1.0, 1.0):
            power = _weaker(power, self.hurt)
        return PowerUse(name, stored, drawn=self.accounts.get(name, FRESH).drawn), power

    def _drawn(self, use: PowerUse, power: ElementPower) -> float:
        """Write down what an element gave; returns the water [kg] that its fuel cells made."""
        account = self.accounts.get(use.element, FRESH)
        self.accounts[use.element] = account.giving(use.drawn)
        cells = power.fuel_cell
        made = (use.drawn - account.drawn) * cells.reactants if cells else 0.0
        if cells is not None:
            for tank, share in cells.from_tanks.items():
                self.levels[use.element, tank] -= made * share
        return made


def _weaker(power: ElementPower, hurt: Hurt) -> ElementPower:
    """Return the power of an element as it is hurt: its steady supply and arrays, its loads."""
    changes: dict[str, object] = {
        "supply": power.supply * hurt.supply,
        "load": power.load * hurt.load,
        "loads": {phase: load * hurt.load for phase, load in power.loads.items()},
    }
    if power.arrays is not None:
        arrays = power.arrays.model_copy(update={"power": power.arrays.power * hurt.supply})
        changes["arrays"] = arrays
    return power.model_copy(update=changes)
