"""How far an element's supplies go, and room for what people give off.

Life support for people is settled by licensed practice, not by this table: margins for a sick
crew member, a longer stay or a failure are the planner's to hold.
"""

from __future__ import annotations

from math import ceil
from typing import NamedTuple

from mplan.physics.constants import DAY, HOUR
from mplan.physics.living.chemistry import BVAD, MEMORY
from mplan.scenario.living.crew_day import CrewDay
from mplan.scenario.living.supplies import Supplies
from mplan.scenario.wording import plain
from mplan.vehicle.living.account import LivingAccount
from mplan.vehicle.living.flows import Span, flows

STATED = "the scenario's leakage and cabin fillings"
RATED = "rating of the canisters in the scenario"
BASIS = {"nitrogen": STATED, "hygiene_water": MEMORY}

WASTES = ("urine_and_condensate", "faeces")
# What people do not live without; a crew lives through the lack of the others.
VITAL = ("oxygen", "nitrogen", "potable_water", "packed_food", "co2_removal")


class SupplyUse(NamedTuple):
    """One supply of an element: carried or storage, and what a mission uses of it, both [kg].

    `capacity` is None for equipment that is not used up; water that fuel cells made is part of
    it. `days_left` at the end, for those who lived there last; None where nobody did. `ran_out` is
    when it lacked first [s since lift-off]. Carbon dioxide removal counts the gas taken up;
    storage what stood in it at the most.
    """

    element: str
    supply: str
    capacity: float | None
    used: float
    days_left: float | None
    basis: str
    note: str = ""
    ran_out: float | None = None

    @property
    def label(self) -> str:
        """The supply as people say it."""
        return plain(self.supply).replace("co2", "CO2")

    @property
    def short(self) -> float:
        """What lacks [kg]: of a load, or of storage; 0 if it lasts."""
        return 0.0 if self.capacity is None else max(0.0, self.used - self.capacity)


def uses(
    element: str, carried: Supplies, account: LivingAccount, day: CrewDay, *, aboard: int
) -> list[SupplyUse]:
    """Return what has become of an element's supplies, with so many people `aboard` last."""
    held, used = account.capacities(carried), account.used()
    left = account.left(carried)
    rates = rates_of(carried, day, aboard, account.load)
    notes = _notes(carried, account)
    return [
        SupplyUse(
            element,
            name,
            held.get(name),
            used[name],
            left[name] / rates[name] / DAY if name in left and rates[name] > 0.0 else None,
            _basis(name, carried),
            notes.get(name, ""),
            account.ran_out.get(name),
        )
        for name in ORDER
    ]


ORDER = (
    "oxygen",
    "nitrogen",
    "potable_water",
    "hygiene_water",
    "packed_food",
    "co2_removal",
    *WASTES,
)


def rates_of(carried: Supplies, day: CrewDay, aboard: int, load: float) -> dict[str, float]:
    """Return what `aboard` people take or fill in a second [kg/s]; zero where nobody is left."""
    if not aboard:
        return dict.fromkeys(ORDER, 0.0)
    flown = flows(carried, day, Span(aboard, 1.0, 1.0, heat=load))
    kept = {name: flown.kept.get(name, 0.0) for name in WASTES}
    return {**flown.taken, "co2_removal": flown.removed, **kept}


def _basis(name: str, carried: Supplies) -> str:
    canisters = carried.co2_removal is None and carried.lioh_canisters is not None
    return RATED if name == "co2_removal" and canisters else BASIS.get(name, BVAD)


def _notes(carried: Supplies, account: LivingAccount) -> dict[str, str]:
    """Return what is to be said beside a supply."""
    food = carried.unpacked(account.taken.get("packed_food", 0.0))
    notes = {
        "packed_food": f"{food.dry:.1f} kg dry, {food.water:.1f} kg water in it, "
        f"{food.packaging:.1f} kg packaging, which becomes waste"
    }
    if account.received:
        notes["potable_water"] = f"{account.received:.1f} kg of it made by fuel cells"
        if account.overflowed:
            notes["potable_water"] += f", {account.overflowed:.1f} kg more than its tanks hold"
    canisters = carried.lioh_canisters
    if carried.co2_removal is not None:
        notes["co2_removal"] = carried.co2_removal.name
    elif canisters is not None:
        used = ceil(account.removed / canisters.takes - 1e-9)
        notes["co2_removal"] = (
            f"{used} of {canisters.count} LiOH canisters, "
            f"{canisters.person_time / HOUR:.1f} person-hours each"
        )
    return notes
