"""What the crew still have at the end of a way out, by the books that the flight itself keeps.

Cautions: margins for a sick crew member, a longer wait or a second failure are the planner's to
hold; a planning study's figures, no flight procedure.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple

from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import StillThere
from mplan.flight import boil_off
from mplan.flight.living.drawn import lived
from mplan.flight.living.feeding import SOUND, Hurt, could_give
from mplan.flight.state import Craft, State
from mplan.scenario import Supplies
from mplan.vehicle.evolved import evolved
from mplan.vehicle.living.energy import serving
from mplan.vehicle.living.life_support import VITAL, uses


class Aboard(NamedTuple):
    """Who is where `until` a time [s since lift-off] of a way out: people by cabin.

    `craft` is what is joined to what meanwhile, () where that has not changed.
    """

    until: float
    crew: Mapping[str, int]
    craft: tuple[Craft, ...] = ()


def still_there(
    point: CabinPoint,
    home: float,
    failure: FailureName | None = None,
    then: Sequence[Aboard] = (),
    counted: Collection[str] = (),
) -> StillThere:
    """Return what is left `home` [s since lift-off] of a way out from a point of a flight.

    What was drawn before is as flown, up to the point itself; from there on people live as `then`
    says, without it where they are at the point and with what that is joined to. "half the power
    lost" leaves half of what is stored there and half of the steady supply, and of the loads in
    use what `aborts.emergency_load` keeps on. With "cabin leaks" who is in that cabin is in a suit:
    the cabin takes no more air, the suits leak (`chemistry.SUIT_LEAKAGE`), the air that filled the
    cabin came from no store; in other cabins they live as ever. Other failures take nothing here.
    `days` counts every cabin lived in on the way, or those `counted`; hygiene water and room for
    waste are left out, as people live through their lack. Panels in lunar orbit have the longest
    shadow there is, all the way home too. ValueError for a
    home before the point.
    """
    if home < point.elapsed:
        raise ValueError(f"home after {home:.0f} s, and the way out begins at {point.elapsed:.0f}")
    state = _at(point)
    legs = then or (Aboard(home, state.crew),)
    hurt, lacking = _hurt(state, failure, point.cabin), dict[str, float]()
    during, people = state, dict[str, int]()
    for leg in legs:
        during = evolved(state, crew=leg.crew, craft=leg.craft or state.craft)
        people |= {name: crew for name, crew in leg.crew.items() if crew}
        state = boil_off.drawn(evolved(during, elapsed=leg.until))
        found = lived(state, during, None, hurt)
        state = evolved(state, ledger=found.ledger)
        for name, energy in found.lacking.items():
            lacking[name] = lacking.get(name, 0.0) + energy
    people = {name: crew for name, crew in people.items() if not counted or name in counted}
    first = min(_lasts(state, people), default=None)
    days, supply = first if first is not None else (None, "")
    return StillThere(days, supply, _energy(during, state, hurt, lacking))


def _at(point: CabinPoint) -> State:
    """Return the state at a point, with what has been drawn up to it."""
    before = point.before
    now = boil_off.drawn(evolved(before, elapsed=point.elapsed))
    if before.climbing or point.elapsed <= before.ledger.lived_to:
        return now
    return evolved(now, ledger=lived(now, before, point.passage.event).ledger)


def _hurt(state: State, failure: FailureName | None, cabin: str) -> Hurt:
    """Return what a failure in a cabin leaves."""
    if failure == "cabin leaks":
        return Hurt(leak=frozenset({cabin}))
    if failure != "half the power lost":
        return SOUND
    stored = {}
    for name, element in state.scenario.elements.items():
        if element.power is not None:
            drawn = state.ledger.account(name).drawn
            whole = could_give(state.scenario, state.ledger, name)
            stored[name] = drawn + (whole - drawn) / 2.0
    return Hurt(stored, supply=0.5, load=state.scenario.aborts.emergency_load)


def _lasts(state: State, people: Mapping[str, int]) -> Iterator[tuple[float, str]]:
    """Yield how long each supply that people cannot do without still lasts [d], and its name."""
    scenario = state.scenario
    for name, crew in people.items():
        carried = scenario.elements[name].supplies or Supplies()
        account = state.ledger.account(name)
        for use in uses(name, carried, account, scenario.crew_day, aboard=crew):
            if use.supply in VITAL and use.capacity is not None and use.days_left is not None:
                yield use.days_left, use.label


def _energy(during: State, end: State, hurt: Hurt, lacking: Mapping[str, float]) -> float | None:
    """Return what is left of all that the cabins in use at the end and what serves them store.

    A share; below zero what lacked on the way.
    """
    cabins = [name for name, crew in during.crew.items() if crew]
    served = {n: p for x in cabins for n, p in serving(x, during.joined(x), during.scenario)}
    stored = sum(power.stored_energy for power in served.values())
    if not stored:
        return None
    wholes = {name: could_give(end.scenario, end.ledger, name) for name in served}
    left = sum(
        min(whole, hurt.stored.get(name, whole)) - end.ledger.account(name).drawn
        for name, whole in wholes.items()
    )
    return (left - sum(lacking.values())) / stored
