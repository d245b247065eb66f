"""A craft that an earlier mission left in lunar orbit, as that mission leaves it.

Its tanks, starts, accounts and orbit are those of the last event after which the ship it belonged
to was about the Moon; from there on it waits like a ship of the same mission.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import TypeVar

from mplan.flight.record import Flight
from mplan.flight.state import AtTheMoon, Craft, State
from mplan.flight.unflyable import Unflyable
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import Ledger

_Key = TypeVar("_Key")
_Value = TypeVar("_Value")


def state_of(flight: Flight, name: str, elements: Sequence[str]) -> State:
    """Return the state of what a mission has left in lunar orbit; Unflyable where it has not.

    `elements` are those that the ship `name` is to consist of.
    """
    file = flight.scenario.source.name
    if flight.ended is not None:
        text = f"found {file}, which ends before: {flight.ended.text}; accepted: one that is flown"
        raise Unflyable(("ships", name, "left_by"), text)
    craft = _craft(flight, name, elements)
    at = next((x.after for x in reversed(flight.passages) if _in_orbit(x.after, craft)), None)
    if at is None:
        text = f"found {file}, which does not leave {_listed(elements)} in lunar orbit; accepted: "
        raise Unflyable(("ships", name, "left_by"), f"{text}one that does")
    aboard = sum(at.crew.get(x, 0) for x in craft)
    if aboard:
        text = f"found {_listed(elements)}, in which {aboard} are aboard in {file}; accepted: a "
        raise Unflyable(("ships", name, "stack"), f"{text}craft that was left without crew")
    return _alone(at, craft)


def _craft(flight: Flight, name: str, elements: Sequence[str]) -> Craft:
    """Return the craft at a mission's end that consists of some elements."""
    file, end = flight.scenario.source.name, flight.end
    joined = [end.joined(x) for x in elements]
    gone = [x for x, craft in zip(elements, joined, strict=True) if not craft]
    if gone:
        text = f"found {_listed(elements)}; accepted: what {file} has not let go by its end, and it"
        raise Unflyable(("ships", name, "stack"), f"{text} has jettisoned {_listed(gone)}")
    if {frozenset(x) for x in joined} != {frozenset(elements)}:
        crafts = "; or ".join(_listed(x) for x in dict.fromkeys(joined))
        text = f"found {_listed(elements)}; accepted: what is joined at the end of {file}, {crafts}"
        raise Unflyable(("ships", name, "stack"), text)
    return joined[0]


def _in_orbit(state: State, craft: Craft) -> bool:
    """Tell whether a craft is about the Moon as it will be left, on no orbit of its own."""
    there = craft in state.craft and not set(craft) & set(state.joined(state.landed))
    return there and state.moon is not None and state.lander is None


def _alone(at: State, craft: Craft) -> State:
    """Return the state of one craft, without anything else of its mission."""
    use = at.thrusters
    if use is not None:
        drawn = {key: each for key, each in use.drawn.items() if key.element in craft}
        use = replace(use, drawn=drawn)
    return State(
        scenario=at.scenario,
        ledger=_of(at.ledger, craft),
        craft=(craft,),
        crew={},
        cargo={x: kg for x, kg in at.cargo.items() if x in craft},
        elapsed=at.elapsed,
        boiled_to=at.boiled_to,
        thrusters=use,
        launched=at.launched,
        departing=at.departing,
        moon=AtTheMoon(at.orbit),
        reserved=_owned(at.reserved, craft),
        second=at.second,
    )


def _of(ledger: Ledger, craft: Craft) -> Ledger:
    """Return the part of a ledger that is about one craft."""
    return replace(
        ledger,
        levels=_owned(ledger.levels, craft),
        unusable=_owned(ledger.unusable, craft),
        starts=_owned(ledger.starts, craft),
        seconds=_owned(ledger.seconds, craft),
        boiled=_owned(ledger.boiled, craft),
        received=_owned(ledger.received, craft),
        spilt=_owned(ledger.spilt, craft),
        accounts={x: each for x, each in ledger.accounts.items() if x in craft},
    )


def _owned(
    by_name: Mapping[tuple[str, _Key], _Value], craft: Craft
) -> Mapping[tuple[str, _Key], _Value]:
    return MappingProxyType({key: each for key, each in by_name.items() if key[0] in craft})


def _listed(names: Sequence[str]) -> str:
    return ", ".join(map(plain, names))
