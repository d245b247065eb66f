"""The partial pressure of carbon dioxide in every cabin, along the flight, to first order.

The air of a cabin mixes at once; absorbers take their share of what flows through them until they
can take no more. Doors that stand open to another cabin, and air that is let out for walks, are
not counted: both make it less.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from mplan.checks import supplies
from mplan.flight.record import Flight
from mplan.physics.constants import MINUTE
from mplan.physics.living.carbon_dioxide import in_air, partial_pressure
from mplan.scenario import Supplies

SETTLED = (0.0, 10.0 * MINUTE, 30.0 * MINUTE, 90.0 * MINUTE)  # after each change, then its end


class Co2Curve(NamedTuple):
    """The partial pressure (n,) [Pa] at `t` (n,) [s since lift-off] in an element, and its limit.

    `exhausted` is when its absorbers can take no more; None where they last.
    """

    element: str
    t: np.ndarray
    pressure: np.ndarray
    limit: float
    exhausted: float | None

    @property
    def most(self) -> tuple[float, float]:
        """The highest pressure [Pa], and when [s since lift-off]."""
        at = int(np.argmax(self.pressure))
        return float(self.pressure[at]), float(self.t[at])

    @property
    def beyond(self) -> float | None:
        """When the limit is passed first [s since lift-off]; None if it never is."""
        over = np.flatnonzero(self.pressure > self.limit)
        return float(self.t[over[0]]) if over.size else None


def co2_curves(flight: Flight) -> tuple[Co2Curve, ...]:
    """Return the curve of every cabin that states its volume and the air through its absorbers.

    None of a cabin that does not: it is not examined.
    """
    found = []
    for name, account in supplies.accounts(flight).items():
        carried = flight.scenario.elements[name].supplies or Supplies()
        if carried.cabin is None or carried.air_flow is None:
            continue
        out = account.ran_out.get("co2_removal")
        rows = list(_rows(flight, name, carried, out))
        if rows:
            t, pressure = np.array(rows).T
            found.append(Co2Curve(name, t, pressure, carried.co2_limit, out))
    return tuple(found)


def _rows(
    flight: Flight, name: str, carried: Supplies, out: float | None
) -> Iterator[tuple[float, float]]:
    """Yield times [s since lift-off] and pressures [Pa] while somebody lives in an element."""
    if carried.cabin is None or carried.air_flow is None:
        return
    volume, mass = carried.cabin.volume, 0.0
    for begin, end, made in _making(flight, name):
        edges = sorted({begin, end} | ({out} if out is not None and begin < out < end else set()))
        for first, last in pairwise(edges):
            spent = out is not None and first >= out
            flow = 0.0 if spent else carried.air_flow
            for t in (*(first + x for x in SETTLED if first + x < last), last):
                there = in_air(mass, made, flow, volume, t - first)
                yield t, partial_pressure(there, volume)
            mass = in_air(mass, made, flow, volume, last - first)


def _making(flight: Flight, name: str) -> Iterator[tuple[float, float, float]]:
    """Yield spans [s since lift-off] and the gas that people give off in them [kg/s]."""
    since = None  # the climb is drawn with the first event after it
    for each in flight.passages:
        begin, end = each.before.elapsed, each.after.elapsed
        if not each.before.crew.get(name) or end <= begin:
            continue
        since = begin if since is None else since
        made = each.after.ledger.account(name).removed - each.before.ledger.account(name).removed
        if made > 0.0:
            yield since, end, made / (end - since)
            since = None
