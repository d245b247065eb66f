"""What every store of electric energy holds along the flight, with the Sun as it is seen there.

The same loads, supplies and rules as the flight's own books, in steps of a minute or less where
arrays go in and out of a shadow: these have the mean of an event. Where nothing has arrays both
are the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from mplan.flight import whereabouts
from mplan.flight.living.around import around
from mplan.flight.living.feeding import could_give
from mplan.flight.record import Flight, Passage
from mplan.flight.state import Craft
from mplan.physics.bodies import shadow
from mplan.vehicle.living.energy import (
    Around,
    Group,
    PowerUse,
    Sunlight,
    asleep,
    feed,
    serving,
)
from mplan.vehicle.same import once


class ChargeCurve(NamedTuple):
    """What an element's store holds (n,) [J] at `t` (n,) [s since lift-off]; `stored` when full.

    `floor` [J] is what its batteries should not fall below; `lacking` [J] what it and what serves
    with it could not feed, from `empty` on [s since lift-off], None where all is fed.
    """

    element: str
    t: np.ndarray
    left: np.ndarray
    stored: float
    floor: float
    lacking: float
    empty: float | None

    @property
    def least(self) -> tuple[float, float]:
        """The least it holds [J], and when [s since lift-off]."""
        at = int(np.argmin(self.left))
        return float(self.left[at]), float(self.t[at])

    @property
    def least_share(self) -> float:
        """The least state of charge, a share of what it stores when full."""
        return self.least[0] / self.stored


class _Shine(NamedTuple):
    """The share of the Sun's disc and its strength at times [s since lift-off] along a way."""

    t: np.ndarray
    share: np.ndarray
    strength: np.ndarray


@once
def charge_curves(flight: Flight) -> tuple[ChargeCurve, ...]:
    """Return the curve of every store that is used, in stack order; none where nothing is stored.

    A tenth of a second for a mission with arrays; else some milliseconds.
    """
    walk = _Walk(flight)
    for passage in flight.passages:
        walk.through(passage)
    order = [x for x in flight.scenario.order if x in walk.uses]
    return tuple(walk.curve(name) for name in order if walk.uses[name].stored > 0.0)


class _Walk:
    """All stores along a flight, event by event."""

    def __init__(self, flight: Flight) -> None:
        self.flight = flight
        self.uses: dict[str, PowerUse] = {}
        self.rows: dict[str, list[tuple[float, float]]] = {}
        self.shines: dict[str, _Shine | None] = {}

    def through(self, passage: Passage) -> None:
        """Let an event pass for every cabin in use and all that is on stand-by."""
        before = passage.before
        if passage.after.elapsed <= before.elapsed:
            return
        cabins = [name for name, crew in before.crew.items() if crew]
        for craft in before.craft:
            self._fed(passage, asleep(craft, cabins, before.scenario), craft, standby=True)
        for cabin in cabins:
            craft = before.joined(cabin)
            self._fed(passage, serving(cabin, craft, before.scenario), craft, standby=False)

    def curve(self, name: str) -> ChargeCurve:
        """Return what has become of a store."""
        use, power = self.uses[name], self.flight.scenario.elements[name].power
        depth = power.battery.usable_depth if power and power.battery else 1.0
        t, left = np.array(self.rows[name]).T
        lacking = use.lacking + use.missed
        return ChargeCurve(
            name, t, left, use.stored, (1.0 - depth) * use.stored, lacking, use.empty
        )

    def _fed(self, passage: Passage, group: Group, craft: Craft, *, standby: bool) -> None:
        if not group:
            return
        before, ledger = passage.before, passage.after.ledger
        pairs = [(self._use(name, before.elapsed), power) for name, power in group]
        for use, _ in pairs:
            use.stored = could_give(self.flight.scenario, ledger, use.element)
        radius = before.moon.shadow_radius if before.moon else None
        for begin, end, there in self._steps(passage, group, craft):
            out = feed(pairs, end - begin, radius, standby=standby, around=there)
            for use, _ in pairs:
                self.rows[use.element].append((end, use.left))
            if out and pairs[-1][0].empty is None:
                pairs[-1][0].empty = end - out

    def _use(self, name: str, elapsed: float) -> PowerUse:
        """Return a store as it stands; where it was not used for a while it held what it has."""
        if name not in self.uses:
            whole = could_give(self.flight.scenario, self.flight.end.ledger, name)
            drawn = self.flight.start.ledger.account(name).drawn
            self.uses[name] = PowerUse(name, whole, drawn=drawn)
            self.rows[name] = []
        use, rows = self.uses[name], self.rows[name]
        if not rows or rows[-1][0] < elapsed:
            rows.append((elapsed, use.left))
        return use

    def _steps(
        self, passage: Passage, group: Group, craft: Craft
    ) -> Iterator[tuple[float, float, Around]]:
        """Yield spans of an event with what is about the craft in each."""
        before = passage.before
        begin, end = before.elapsed, passage.after.elapsed
        whole = around(before, craft, end - begin)
        arrays = any(x.arrays for _, x in group) and not before.climbing
        shine = self._shine(group[-1][0]) if arrays else None
        inside = [] if shine is None else [x for x in shine.t.tolist() if begin < x < end]
        if shine is None or not inside:
            yield begin, end, whole
            return
        edges = np.array([begin, *inside, end])
        share, strength = (np.interp(edges, shine.t, x) for x in (shine.share, shine.strength))
        for i in range(len(edges) - 1):
            mean = float(share[i] + share[i + 1]) / 2.0
            sun = Sunlight(mean, float(strength[i]), whole.sun.on_moon)
            yield float(edges[i]), float(edges[i + 1]), whole._replace(sun=sun)

    def _shine(self, name: str) -> _Shine | None:
        """Return the sunlight along an element's way; None where there is no way."""
        if name not in self.shines:
            parts = whereabouts.of(self.flight, name).stretches
            self.shines[name] = None
            if parts:
                t = np.concatenate([x.t for x in parts])
                r = np.concatenate([x.r for x in parts])
                t, once = np.unique(t, return_index=True)
                share, strength = shadow.sunlight(r[once], t), shadow.strength(r[once], t)
                self.shines[name] = _Shine(t - self.flight.end.lift_off, share, strength)
        return self.shines[name]
