"""Who lives where, event by event, and what that takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from mplan.flight.record import Flight, Passage
from mplan.vehicle.living.account import SUPPLIES, LivingAccount

WASTES = ("urine_and_condensate", "faeces", "packaging")


class Activity(NamedTuple):
    """People in an element through one event, from `begin` to `end` [s since lift-off].

    `used` [kg] of supplies, by name, with leakage and what the cabin was filled with; `co2` [kg] is
    what was taken out of its air, `waste` [kg] what was made, kept or dumped. What the climb took
    is drawn in the first event after it.
    """

    event: str
    element: str
    crew: int
    begin: float
    end: float
    used: Mapping[str, float]
    co2: float
    waste: float


def activities(flight: Flight) -> tuple[Activity, ...]:
    """Return every event through which people live somewhere, in order; none without crew."""
    return tuple(x for each in flight.passages for x in _of(each))


def _of(passage: Passage) -> Iterator[Activity]:
    before, after = passage.before, passage.after
    if after.elapsed <= before.elapsed:
        return
    for name, crew in before.crew.items():
        if not crew:
            continue
        was, now = (x.ledger.account(name) for x in (before, after))
        used = {x: now.taken.get(x, 0.0) - was.taken.get(x, 0.0) for x in SUPPLIES}
        waste = _wasted(now) - _wasted(was)
        title = passage.moment.event
        span = (before.elapsed, after.elapsed)
        yield Activity(title, name, crew, *span, used, now.removed - was.removed, waste)


def _wasted(account: LivingAccount) -> float:
    """Return all urine, condensate, faeces and packaging so far, wherever it is [kg]."""
    return sum(x.get(y, 0.0) for x in (account.kept, account.overboard) for y in WASTES)
