"""Electric loads by phase and element: what each takes, and what steady supply and arrays give."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.flight.living.around import around, phase_of
from mplan.flight.record import Flight, Passage
from mplan.vehicle.living.energy import asleep, from_arrays, serving, sunlit


class LoadRow(NamedTuple):
    """An element through one phase: how long [s], its mean `load` and its own `supply` [W].

    `supply` is that of arrays and steady sources; the rest of the load comes out of stores, its own
    or those of what serves with it.
    """

    phase: str
    element: str
    standby: bool
    duration: float
    load: float
    supply: float

    @property
    def energy(self) -> float:
        """What it takes in all [J]."""
        return self.load * self.duration


def load_rows(flight: Flight) -> tuple[LoadRow, ...]:
    """Return a row for each phase and element, in flight order."""
    found: dict[tuple[str, str, bool], LoadRow] = {}
    for each in (row for passage in flight.passages for row in _of(passage)):
        key = (each.phase, each.element, each.standby)
        found[key] = _together(found[key], each) if key in found else each
    return tuple(found.values())


def _of(passage: Passage) -> Iterator[LoadRow]:
    before, passed = passage.before, passage.after.elapsed - passage.before.elapsed
    if passed <= 0.0:
        return
    cabins = [name for name, crew in before.crew.items() if crew]
    used = [
        (before.joined(x), serving(x, before.joined(x), before.scenario), False) for x in cabins
    ]
    slept = [(craft, asleep(craft, cabins, before.scenario), True) for craft in before.craft]
    radius = before.moon.shadow_radius if before.moon else None
    for craft, group, standby in (*used, *slept):
        there, phase = around(before, craft, passed), phase_of(before, craft)
        for name, power in group:
            steady = power.supply * (sunlit(radius) if power.solar else 1.0)
            supply = steady + from_arrays(power, there.sun)
            load = power.load_in(there.phase, standby=standby)
            yield LoadRow(phase, name, standby, passed, load, supply)


def _together(one: LoadRow, other: LoadRow) -> LoadRow:
    """Return two rows of one phase as one, with their mean load and supply."""
    whole = one.duration + other.duration
    load = (one.energy + other.energy) / whole
    supply = (one.supply * one.duration + other.supply * other.duration) / whole
    return one._replace(duration=whole, load=load, supply=supply)
