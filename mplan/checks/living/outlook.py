"""How long people could still live in a cabin once the plan is over for it, and on what."""

from __future__ import annotations

from typing import NamedTuple

from mplan.checks import supplies
from mplan.flight.record import Flight
from mplan.physics.constants import DAY
from mplan.scenario.living.contingency import USUAL
from mplan.vehicle.living.life_support import VITAL, SupplyUse


class Outlook(NamedTuple):
    """A cabin's supply that runs out first: `days` [d] it lasts its last people, below zero lacks.

    `until` [s since lift-off] is when it is gone, were they to stay; `left_at` when the last of
    them leave it, or the flight ends.
    """

    element: str
    crew: int
    left_at: float
    days: float
    until: float
    use: SupplyUse


def outlooks(flight: Flight) -> tuple[Outlook, ...]:
    """Return the outlook of every cabin that people live in, in stack order."""
    ends: dict[str, float] = {}
    for each in flight.stretches:
        ends[each.element] = each.begin + each.duration
    found, accounts = [], supplies.accounts(flight)
    for name, account in accounts.items():
        uses = [x for x in supplies.used(flight) if x.element == name and x.supply in VITAL]
        lasting = [(x.days_left, x) for x in uses if x.capacity is not None]
        known = [(days, x) for days, x in lasting if days is not None]
        if name in ends and known:
            days, use = min(known, key=lambda pair: pair[0])
            until = ends[name] + days * DAY if use.ran_out is None else use.ran_out
            found.append(Outlook(name, account.last, ends[name], days, until, use))
    return tuple(found)


def first_out(flight: Flight) -> Outlook | None:
    """Return the outlook of the cabin whose supplies last the shortest beyond the plan."""
    return min(outlooks(flight), key=lambda each: each.days, default=None)


def contingency(flight: Flight) -> float:
    """Return the time that supplies should last beyond the plan [s]; the usual where unstated."""
    kept = flight.scenario.contingency
    return USUAL if kept is None else kept.time
