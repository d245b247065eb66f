"""What is in every tank, how often and how long every engine has run, and what people have used.

A ledger never changes: a burn makes a new one. Propellant belongs to its element; an engine
draws from another's tanks only by a `crossfeed`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import Any

from mplan.scenario import Element, Engine, Scenario
from mplan.scenario.elements import Tank
from mplan.scenario.models import Margins
from mplan.scenario.stated import stated
from mplan.vehicle.evolved import evolved
from mplan.vehicle.living.account import FRESH, LivingAccount, aboard

Key = tuple[str, str]  # element, and tank or engine


@dataclass(frozen=True)
class Ledger:
    """Tank levels [kg], starts spent and seconds burned, each by element and name.

    `boiled` [kg] is what has boiled off, by tank, `received` [kg] what came from other elements,
    less what went there, `spilt` [kg] what was lost on the way, by the tank it left; `accounts`
    is what people have used, by element, up to `lived_to` [s since lift-off].
    """

    levels: Mapping[Key, float]
    unusable: Mapping[Key, float]
    starts: Mapping[Key, int]
    seconds: Mapping[Key, float]
    boiled: Mapping[Key, float] = field(default_factory=dict)
    received: Mapping[Key, float] = field(default_factory=dict)
    spilt: Mapping[Key, float] = field(default_factory=dict)
    accounts: Mapping[str, LivingAccount] = field(default_factory=dict)
    lived_to: float = 0.0

    def propellant(self, element: str) -> float:
        """Return all propellant aboard an element [kg], usable or not."""
        return self._propellants.get(element, 0.0)

    def _with(self, **changes: Any) -> Ledger:  # noqa: ANN401 (as the fields have it)
        """Return the ledger with other values: what was summed up goes on while levels do."""
        made = evolved(self, **changes)
        if made.levels is not self.levels:
            vars(made).pop("_propellants", None)
        if made.accounts is not self.accounts:
            vars(made).pop("_weighed", None)
        return made

    def stores(self, name: str, element: Element) -> float:
        """Return the mass of what an element carries for its crew and its fuel cells [kg].

        What was used stays aboard as waste, but for what has leaked, was dumped or was passed on.
        """
        if element.supplies is None and element.power is None and name not in self.accounts:
            return 0.0  # a stage or a fairing, which is most of what is weighed
        known = self._weighed.get(name)
        if known is None or known[0] is not element:
            known = self._weighed[name] = element, _stores(element, self.account(name))
        return known[1]

    @cached_property
    def _weighed(self) -> dict[str, tuple[Element, float]]:
        """Return what has been weighed of these accounts: asked for with every mass of a craft."""
        return {}

    @cached_property
    def _propellants(self) -> Mapping[str, float]:
        """Return all propellant aboard, by element: asked for with every mass of a craft."""
        found: dict[str, float] = {}
        for (owner, _), load in self.levels.items():
            found[owner] = found.get(owner, 0.0) + load
        return found

    def boiled_off(self, element: str) -> float:
        """Return what an element has lost by boiling off [kg]."""
        return sum([loss for (owner, _), loss in self.boiled.items() if owner == element], 0.0)

    def account(self, element: str) -> LivingAccount:
        """Return what people have used in an element, and what became of it."""
        return self.accounts.get(element, FRESH)

    def usable(self, element: str, engine: Engine) -> float:
        """Return what `engine` can still draw [kg]: the tank that runs dry first decides."""
        owner = engine.crossfeed or element
        return min(
            max(0.0, self.levels[owner, tank] - self.unusable[owner, tank]) / share
            for tank, share in shares(engine).items()
        )

    def stranded(self, element: str, engine: Engine) -> dict[str, float]:
        """Return what stays in each tank [kg], residuals apart, when `engine` has drawn all it can.

        The mixture ratio decides which of two tanks runs dry first; the other keeps the rest.
        """
        owner, usable = engine.crossfeed or element, self.usable(element, engine)
        return {
            tank: max(0.0, self.levels[owner, tank] - self.unusable[owner, tank]) - share * usable
            for tank, share in shares(engine).items()
        }

    def after_burn(
        self,
        element: str,
        name: str,
        engine: Engine,
        propellant: float,
        seconds: float,
        starts: int = 1,
    ) -> Ledger:
        """Return the ledger after engine `name` has drawn `propellant` [kg] in `seconds`.

        `starts` is above one for a row of burns flown as one leg.
        """
        key = (element, name)
        return self.after_pulses(element, engine, propellant)._with(
            starts=MappingProxyType({**self.starts, key: self.starts.get(key, 0) + starts}),
            seconds=MappingProxyType({**self.seconds, key: self.seconds.get(key, 0.0) + seconds}),
        )

    def after_pulses(self, element: str, engine: Engine, propellant: float) -> Ledger:
        """Return the ledger after thrusters have drawn `propellant` [kg]; starts are not counted.

        How many pulses it takes depends on a control design that a plan does not know.
        """
        levels, owner = dict(self.levels), engine.crossfeed or element
        for tank, share in shares(engine).items():
            levels[owner, tank] -= propellant * share
        return self._with(levels=MappingProxyType(levels))

    def after_boil_off(self, lost: Mapping[Key, float]) -> Ledger:
        """Return the ledger after tanks have `lost` [kg] by boiling, at most what they held."""
        gone = {key: min(loss, self.levels[key]) for key, loss in lost.items()}
        levels = {**self.levels, **{key: self.levels[key] - loss for key, loss in gone.items()}}
        boiled = {**self.boiled, **{k: self.boiled.get(k, 0.0) + loss for k, loss in gone.items()}}
        return self._with(levels=MappingProxyType(levels), boiled=MappingProxyType(boiled))

    def after_living(
        self, levels: Mapping[Key, float], accounts: Mapping[str, LivingAccount], until: float
    ) -> Ledger:
        """Return the ledger once people have lived until a time [s since lift-off]."""
        levels = self.levels if levels == self.levels else MappingProxyType(levels)
        return self._with(levels=levels, accounts=MappingProxyType(accounts), lived_to=until)

    def after_transfer(
        self, given: Mapping[Key, float], taken: Mapping[Key, float], loss: float
    ) -> Ledger:
        """Return the ledger once tanks have `given` and others have `taken` propellant [kg].

        `loss` is the share of what was given that is lost on the way: taken is less by that.
        """
        levels, received, spilt = dict(self.levels), dict(self.received), dict(self.spilt)
        for key, mass in given.items():
            levels[key] -= mass
            received[key] = received.get(key, 0.0) - (1.0 - loss) * mass
            spilt[key] = spilt.get(key, 0.0) + loss * mass
        for key, mass in taken.items():
            levels[key] += mass
            received[key] = received.get(key, 0.0) + mass
        return self._with(
            levels=MappingProxyType(levels),
            received=MappingProxyType(received),
            spilt=MappingProxyType(spilt),
        )


def _stores(element: Element, account: LivingAccount) -> float:
    unused = element.supplies is None and element.power is None and not account.person_seconds
    return 0.0 if unused else aboard(element, account)


def shares(engine: Engine) -> dict[str, float]:
    """Return the part of an engine's flow that each tank gives; they add up to one."""
    if engine.oxidiser is None:
        return {engine.fuel: 1.0}
    ratio = stated(engine.mixture_ratio, "mixture_ratio")
    return {engine.oxidiser: ratio / (1.0 + ratio), engine.fuel: 1.0 / (1.0 + ratio)}


def filled(scenario: Scenario) -> Ledger:
    """Return the ledger on the pad: tanks loaded, residuals set apart, no engine used."""
    loads = {
        (name, tank): holds.load
        for name, element in scenario.elements.items()
        for tank, holds in element.tanks.items()
    }
    unusable = {
        (name, tank): _residual(holds, scenario.margins)
        for name, element in scenario.elements.items()
        for tank, holds in element.tanks.items()
    }
    starts: dict[Key, int] = {}
    seconds: dict[Key, float] = {}
    return Ledger(
        levels=MappingProxyType(loads),
        unusable=MappingProxyType(unusable),
        starts=MappingProxyType(starts),
        seconds=MappingProxyType(seconds),
    )


def _residual(tank: Tank, margins: Margins) -> float:
    """Return what cannot be used of a full tank [kg]: as stated, else its share by policy."""
    return tank.full * margins.residuals if tank.residuals is None else tank.residuals


def thrust(engine: Engine) -> float:
    """Return the thrust of all engines of one entry together, in vacuum [N]."""
    return engine.count * engine.thrust_vacuum


def thrust_at_sea_level(engine: Engine) -> float:
    """Return the thrust of all engines together at sea level [N], the vacuum one if unstated."""
    return engine.count * (engine.thrust_sea_level or engine.thrust_vacuum)


def main_engine(element: Element, name: str | None = None) -> tuple[str, Engine]:
    """Return the engine called `name`, or the element's one main engine, or its thrusters."""
    if name is not None:
        return name, element.engines[name]
    for purpose in ("main", "thrusters"):
        for key, engine in element.engines.items():
            if engine.purpose == purpose:
                return key, engine
    raise KeyError("the element has no engine")
