"""The account of what people live on in one element, from lift-off on.

What was carried and what was made for it is, at any time, what is still there, what is kept as
waste and what has gone overboard. A supply that runs out goes on below zero, so that the whole
need can be read; what a craft weighs is not less for it than without those supplies.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import floor
from types import MappingProxyType

from mplan.physics.living.chemistry import REACTION_WATER
from mplan.scenario import Element
from mplan.scenario.living.supplies import Supplies
from mplan.vehicle.evolved import evolved
from mplan.vehicle.living.flows import Flows, Span

Masses = Mapping[str, float]
NOTHING: Masses = MappingProxyType({})
NONE = Supplies()
SUPPLIES = ("oxygen", "nitrogen", "potable_water", "hygiene_water", "packed_food")
STORED = ("urine_and_condensate", "faeces")
TRIFLE = 1e-9  # kg: what rounding may leave


def _nothing() -> Masses:
    return NOTHING


@dataclass(frozen=True)
class LivingAccount:
    """Masses [kg] by name, and times [s].

    `most` is the most waste there was at once; `ran_out` when a supply lacked first, or storage,
    since lift-off; `received` the water that fuel cells made for it, of which `overflowed` did not
    fit; `moved` what came from other elements, below zero what went there; `drawn` [J] what its
    own store of energy gave. `person_seconds` and `seconds` were lived
    in it, by `crowd` at most and by `last` the last time, with an electric `load` [W];
    `canisters_out` have been put out.
    """

    taken: Masses = field(default_factory=_nothing)
    kept: Masses = field(default_factory=_nothing)
    overboard: Masses = field(default_factory=_nothing)
    most: Masses = field(default_factory=_nothing)
    ran_out: Masses = field(default_factory=_nothing)
    moved: Masses = field(default_factory=_nothing)
    removed: float = 0.0
    received: float = 0.0
    overflowed: float = 0.0
    drawn: float = 0.0
    person_seconds: float = 0.0
    seconds: float = 0.0
    crowd: int = 0
    last: int = 0
    load: float = 0.0
    canisters_out: int = 0

    def lived(self, span: Span, flown: Flows) -> LivingAccount:
        """Return the account after a span of time."""
        kept = _sum(self.kept, flown.kept)
        return evolved(
            self,
            taken=_sum(self.taken, flown.taken),
            kept=kept,
            most=_most(self.most, kept),
            overboard=_sum(self.overboard, flown.overboard),
            removed=self.removed + flown.removed,
            person_seconds=self.person_seconds + span.crew * span.seconds,
            seconds=self.seconds + (span.seconds if span.crew else 0.0),
            crowd=max(self.crowd, span.crew),
            last=span.crew or self.last,
            load=span.heat / span.seconds if span.crew and span.seconds else self.load,
        )

    def given_water(self, made: float, carried: Supplies) -> LivingAccount:
        """Return the account after fuel cells have `made` water [kg]; what is too much leaves."""
        received = self.received + made
        tank = carried.potable_water_tank
        room = carried.potable_water if tank is None else max(tank, carried.potable_water)
        there = carried.potable_water + self.moved.get("potable_water", 0.0)
        there += received - self.overflowed
        over = max(0.0, there - self.taken.get("potable_water", 0.0) - room)
        overboard = _sum(self.overboard, {"water": over}) if over else self.overboard
        return evolved(
            self, received=received, overflowed=self.overflowed + over, overboard=overboard
        )

    def giving(self, drawn: float) -> LivingAccount:
        """Return the account once its store has given `drawn` [J] in all."""
        return self if drawn == self.drawn else evolved(self, drawn=drawn)

    def after_moving(self, supply: str, mass: float) -> LivingAccount:
        """Return the account after `mass` [kg] of a supply has come in, below zero gone out."""
        return evolved(self, moved=_sum(self.moved, {supply: mass}))

    def put_out(self, carried: Supplies) -> LivingAccount:
        """Return the account after what stays on the Moon has been put out of the cabin."""
        out: dict[str, float] = {
            x: self.kept.get(x, 0.0) for x in carried.left_on_moon if x != "canisters"
        }
        kept = {**self.kept, **dict.fromkeys(out, 0.0)}
        full = self.full_canisters(carried) if "canisters" in carried.left_on_moon else 0
        new = full - self.canisters_out
        if new > 0 and carried.lioh_canisters is not None:
            holds = new * carried.lioh_canisters.takes * (1.0 - REACTION_WATER)
            kept["carbon_dioxide"] -= holds
            out["canisters"] = new * carried.lioh_canisters.mass + holds
        return replace(
            self,
            kept=MappingProxyType(kept),
            overboard=_sum(self.overboard, out),
            canisters_out=max(full, self.canisters_out),
        )

    def full_canisters(self, carried: Supplies) -> int:
        """Return how many canisters have taken up all they can."""
        canisters = carried.lioh_canisters
        if canisters is None or carried.co2_removal is not None:
            return 0
        return min(canisters.count, floor(self.removed / canisters.takes))

    def capacities(self, carried: Supplies) -> dict[str, float]:
        """Return what there was of each supply, and the room for each waste that has any [kg]."""
        water = carried.potable_water + self.received - self.overflowed
        canisters = carried.lioh_canisters
        held = {
            "oxygen": carried.oxygen,
            "nitrogen": carried.nitrogen,
            "potable_water": water,
            "hygiene_water": carried.hygiene_water,
            "packed_food": carried.packed_food,
            "urine_and_condensate": carried.urine_and_condensate_storage,
            "faeces": carried.faecal_storage,
        }
        if carried.co2_removal is None:
            held["co2_removal"] = canisters.count * canisters.takes if canisters else 0.0
        if self.moved:
            held = {name: mass + self.moved.get(name, 0.0) for name, mass in held.items()}
        return held

    def used(self) -> dict[str, float]:
        """Return what of each has been used, or stood in store at the most [kg]."""
        stood = {waste: self.most.get(waste, 0.0) for waste in STORED}
        taken = {supply: self.taken.get(supply, 0.0) for supply in SUPPLIES}
        return {**taken, "co2_removal": self.removed, **stood}

    def lacking(self, carried: Supplies) -> float:
        """Return all supplies that were taken beyond what there was [kg]."""
        left = self.left(carried)
        return sum([max(0.0, -left[x]) for x in SUPPLIES])

    def since(
        self, before: LivingAccount, carried: Supplies, until: float, seconds: float
    ) -> LivingAccount:
        """Return the account with what has run out since `before`, in `seconds` up to `until`."""
        now = self.left(carried)
        if min(now.values()) >= -TRIFLE:
            return self
        lacks = {x: left for x, left in now.items() if left < -TRIFLE and x not in self.ran_out}
        if not lacks:
            return self
        then = before.left(carried)
        out = {
            name: until - seconds * min(1.0, -left / max(then[name] - left, -left))
            for name, left in lacks.items()
        }
        return replace(self, ran_out=MappingProxyType({**self.ran_out, **out}))

    def left(self, carried: Supplies) -> dict[str, float]:
        """Return what is left of each supply and of room for waste, below zero what lacks [kg]."""
        left, taken, most = self.capacities(carried), self.taken, self.most
        for supply in SUPPLIES:
            left[supply] -= taken.get(supply, 0.0)
        for waste in STORED:
            left[waste] -= most.get(waste, 0.0)
        if "co2_removal" in left:
            left["co2_removal"] -= self.removed
        return left


FRESH = LivingAccount()


@dataclass(frozen=True)
class Balance:
    """One element's account closed [kg]: what came in, by the left, is what there is and what left.

    `carried` at lift-off and `received` of fuel cells and of other elements, with what was
    `lacking`, are what is `unused`, `kept` as waste, gone `overboard` and `passed_on` as water or
    to other elements. `aboard` is what the element weighs with it.
    """

    carried: float
    received: float
    lacking: float
    unused: float
    kept: float
    overboard: float
    passed_on: float
    aboard: float

    @property
    def open(self) -> float:
        """What the balance does not account for [kg]: nothing, but for rounding."""
        left = self.unused + self.kept + self.overboard + self.passed_on
        return self.carried + self.received + self.lacking - left


def balance(element: Element, account: LivingAccount) -> Balance:
    """Return the balance of an element's supplies and reactants."""
    carried = element.supplies or NONE
    held = account.capacities(carried)
    reactants = element.power.reactants if element.power else 0.0
    water = passed_on(element, account)
    canisters = carried.lioh_canisters
    shells = (canisters.count - account.canisters_out) * canisters.mass if canisters else 0.0
    unused = sum(max(0.0, held[x] - account.taken.get(x, 0.0)) for x in SUPPLIES)
    moved = [account.moved.get(x, 0.0) for x in SUPPLIES]
    return Balance(
        carried=carried.mass + reactants,
        received=account.received + sum(x for x in moved if x > 0.0),
        lacking=account.lacking(carried),
        unused=unused + shells + reactants - water,
        kept=sum(account.kept.values()),
        overboard=sum(account.overboard.values()),
        passed_on=water - sum(x for x in moved if x < 0.0),
        aboard=aboard(element, account),
    )


def aboard(element: Element, account: LivingAccount) -> float:
    """Return what an element weighs with it [kg]; asked for with every mass of a craft.

    What was never there is counted as the first to leave: it makes no craft lighter.
    """
    carried = element.supplies or NONE
    reactants = element.power.reactants if element.power else 0.0
    there = carried.mass + reactants + account.received - passed_on(element, account)
    if account.moved:
        there += sum(account.moved.get(x, 0.0) for x in SUPPLIES)
    gone = sum(account.overboard.values())
    return there - max(0.0, gone - account.lacking(carried)) if gone else there


def passed_on(element: Element, account: LivingAccount) -> float:
    """Return the water that an element's fuel cells have made [kg], of as much reactants.

    None of those that draw from tanks: what they take is no longer in these.
    """
    cells = element.power.fuel_cell if element.power else None
    return account.drawn * cells.reactants if cells and not cells.from_tanks else 0.0


def _sum(one: Masses, other: Masses) -> Masses:
    """Return both together, by name."""
    both = dict(one)
    for name, mass in other.items():
        both[name] = both.get(name, 0.0) + mass
    return MappingProxyType(both)


def _most(one: Masses, other: Masses) -> Masses:
    """Return the greater of both, by name."""
    both = dict(one)
    for name, mass in other.items():
        both[name] = max(both.get(name, 0.0), mass)
    return MappingProxyType(both)
