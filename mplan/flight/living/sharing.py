"""Stores that people in another cabin of the craft may live from, where the scenario says so."""

from __future__ import annotations

from mplan.flight.state import State
from mplan.vehicle.living.account import FRESH, NONE, TRIFLE, LivingAccount


def share(during: State, accounts: dict[str, LivingAccount]) -> None:
    """Make up what a cabin with crew lacks by what joined elements share, while there is any.

    The nearest in the stack gives first. Of canisters it is what they can still take up that
    changes hands; their mass stays where they were carried.
    """
    if not during.scenario.shares_supplies:
        return
    elements = during.scenario.elements
    for cabin in (name for name, crew in during.crew.items() if crew):
        carried = elements[cabin].supplies or NONE
        left = accounts.get(cabin, FRESH).left(carried)
        for supply in (name for name, mass in left.items() if mass < -TRIFLE):
            _made_up(during, accounts, cabin, supply, -left[supply])


def _made_up(
    during: State, accounts: dict[str, LivingAccount], cabin: str, supply: str, lacks: float
) -> None:
    """Move as much of a supply [kg] into a cabin as it lacks, or as there is."""
    craft = during.joined(cabin)
    here = craft.index(cabin)
    for name in sorted(craft, key=lambda x: abs(craft.index(x) - here)):
        carried = during.scenario.elements[name].supplies
        if name == cabin or carried is None or supply not in carried.shared:
            continue
        account = accounts.get(name, FRESH)
        given = min(lacks, account.left(carried).get(supply, 0.0))
        if given > 0.0:
            accounts[name] = account.after_moving(supply, -given)
            accounts[cabin] = accounts.get(cabin, FRESH).after_moving(supply, given)
            lacks -= given
