"""What is left of each supply, and of room for waste, along the flight, by the flight's own books.

Cautions: what a sick crew member, a longer flight or a failure takes is the planner's to hold.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil
from typing import NamedTuple

import numpy as np

from mplan.checks import supplies
from mplan.flight.living.drawn import lived
from mplan.flight.record import Flight, Passage
from mplan.physics.constants import DAY, HOUR
from mplan.scenario import Supplies
from mplan.vehicle.evolved import evolved
from mplan.vehicle.living.account import LivingAccount
from mplan.vehicle.living.life_support import VITAL, SupplyUse, rates_of

STEP = 2.0 * HOUR  # within an event all is used evenly, but for water that fuel cells make


class SupplyCurve(NamedTuple):
    """What is `left` (n,) [kg] of a supply of an element, or of its room for a waste.

    At `t` (n,) [s since lift-off], rising; two rows of one time where something was put out then.
    Below zero is what lacks. It ends with the flight, or as the element is dropped. `use` is how
    the supply comes out in all: `days_left`, when it `ran_out`, where its rates are from. `rate`
    [kg/s] is what those who lived there last take.
    """

    use: SupplyUse
    t: np.ndarray
    left: np.ndarray
    rate: float

    @property
    def days(self) -> np.ndarray | None:
        """How long it would still last its last people (n,) [d]; None where they take nothing."""
        return self.left / self.rate / DAY if self.rate > 0.0 else None

    @property
    def vital(self) -> bool:
        """Whether people cannot live without it."""
        return self.use.supply in VITAL

    @property
    def lasts_until(self) -> float | None:
        """When it runs out [s since lift-off], were its last people to stay; None if never."""
        if self.use.ran_out is not None:
            return self.use.ran_out
        days = self.use.days_left
        return None if days is None else float(self.t[-1]) + days * DAY


def supply_curves(flight: Flight) -> tuple[SupplyCurve, ...]:
    """Return the curve of every supply that is used up, in every element that is lived in.

    () of a flight without crew, or that ends before its first orbit.
    """
    uses = [use for use in supplies.used(flight) if use.capacity is not None]
    books = list(_books(flight))
    found = []
    for use in uses:
        carried = flight.scenario.elements[use.element].supplies or Supplies()
        rows = [
            (t, accounts.get(use.element, LivingAccount()).left(carried)[use.supply])
            for t, accounts in books
            if t <= _until(flight, use.element)
        ]
        t, left = np.array(_once(rows)).T
        account = flight.end.ledger.account(use.element)
        rates = rates_of(carried, flight.scenario.crew_day, account.last, account.load)
        found.append(SupplyCurve(use, t, left, rates[use.supply]))
    return tuple(found)


def _books(flight: Flight) -> Iterator[tuple[float, Mapping[str, LivingAccount]]]:
    """Yield the accounts at times close enough for straight lines, by the time since lift-off."""
    for each in flight.passages:
        begin, end = each.before.elapsed, each.after.elapsed
        yield begin, each.before.ledger.accounts
        if each.before.climbing or end <= begin:
            continue
        for share in np.linspace(0.0, 1.0, max(1, ceil((end - begin) / STEP)) + 1)[:-1].tolist():
            yield _within(each, begin + share * (end - begin))
    end_state = flight.end
    yield end_state.elapsed, end_state.ledger.accounts


def _within(passage: Passage, elapsed: float) -> tuple[float, Mapping[str, LivingAccount]]:
    """Return the accounts while an event lasts."""
    before = passage.before
    if elapsed <= before.ledger.lived_to:
        return elapsed, before.ledger.accounts
    now = evolved(before, elapsed=elapsed)
    return elapsed, lived(now, before, passage.event).ledger.accounts


def _until(flight: Flight, element: str) -> float:
    """Return when an element is dropped [s since lift-off], or the flight ends."""
    gone = (
        x.after.elapsed
        for x in flight.passages
        if x.before.joined(element) and not x.after.joined(element)
    )
    return next(gone, flight.duration)


def _once(rows: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return rows without those that repeat the one before."""
    return [x for i, x in enumerate(rows) if i == 0 or x != rows[i - 1]]
