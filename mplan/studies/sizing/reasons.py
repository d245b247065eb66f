"""Why each freed key is where it is: the mission flown with a little less of it, or more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from mplan.studies.sizing import holding
from mplan.studies.sizing.flights import Flights, Flown, Request
from mplan.studies.sizing.freed import Freed, Value
from mplan.studies.sizing.points import Answer, Local
from mplan.studies.sizing.records import Active, Searched, Sized
from mplan.studies.sizing.rooms import Room

if TYPE_CHECKING:
    from mplan.studies.sizing.search import Found

BESIDE = 0.01  # of a value, that it is flown with less or more of
GAIN = 1e-5  # of what is least: a neighbour that is less by so much is searched on from
SHOWN = 3  # other levels of a whole number or a choice
_WORDS = {-1: "one per cent less", 1: "one per cent more"}


def of(
    request: Request, best: Found, searched: Sequence[Searched], point: Flights
) -> tuple[tuple[Sized, ...], Answer | None]:
    """Return every freed key with its reason; and a neighbour that turned out to be better."""
    assert best.answer is not None
    values = request.values(best.levels, best.answer.x)
    found: list[Sized] = []
    for each in request.freed:
        if each.continuous:
            sized, less = _continuous(request, best, each, values[each], point)
            if less is not None:
                return (), less
            found.append(sized)
        else:
            said = _levels(request, each, values[each], searched, values)
            found.append(Sized(each, values[each], said))
    return tuple(found), None


def unsaid(request: Request, best: Found) -> tuple[Sized, ...]:
    """Return every freed key without a reason, where the search ended before it was looked for."""
    assert best.answer is not None
    values = request.values(best.levels, best.answer.x)
    return tuple(Sized(each, values[each], "not looked into") for each in request.freed)


def _continuous(
    request: Request, best: Found, each: Freed, value: Value, point: Flights
) -> tuple[Sized, Answer | None]:
    """Return a key with what stops it on the side that would be less, or on either side."""
    assert best.answer is not None
    index, said, active = request.continuous.index(each), [], []
    for side in _sides(best, index):
        share = each.share(float(value) + side * BESIDE * abs(float(value)))
        end = each.high if side > 0 else each.low
        if abs(share - best.answer.x[index]) < holding.ENDS:
            said.append(f"{each.written(end)} is the {_end(side)} that is freed")
            continue
        x = best.answer.x.copy()
        x[index] = share
        after = point.ask(x)
        if after is not None and _less(after, best.answer):
            return Sized(each, value, ""), after
        text, names = _beside(after, best.answer, point)
        said.append(f"{_WORDS[side]} {text}")
        active += names
    return Sized(each, value, "; ".join(said), tuple(dict.fromkeys(active))), None


def _end(side: int) -> str:
    return "most" if side > 0 else "least"


def _sides(best: Found, index: int) -> tuple[int, ...]:
    """Return on which sides a key would make less of what is to be least: -1, 1, or both."""
    slope = 0.0 if best.local is None else float(best.local.value[index])
    if best.answer is None or not best.answer.good or abs(slope) < GAIN:
        return -1, 1
    return (-1,) if slope > 0.0 else (1,)


def _less(after: Answer, before: Answer) -> bool:
    """Tell whether a neighbour is worth searching on from."""
    if not before.good:
        return after.good
    return after.good and after.value < before.value * (1.0 - GAIN)


def _beside(after: Answer | None, before: Answer, point: Flights) -> tuple[str, list[str]]:
    """Return in words what a neighbour comes to, and the limits that it passes."""
    if after is None:
        return f"and there is no flight: {point.why}", []
    if after.good:
        more = after.value > before.value
        return f"closes too, and is {'no less' if more else 'as good'}", []
    assert isinstance(after.whole, Flown)
    new = [name for name, room in after.rooms.items() if room < min(0.0, before.rooms.get(name, 0))]
    if not new:
        return "changes nothing of what does not close", []
    return f"and {passed(after.whole, new)}", new


def passed(flown: Flown, names: Sequence[str] | None = None) -> str:
    """Return the limit that a plan is beyond the most, and how many more, in words."""
    beyond = [room for room in flown.rooms.values() if room.left < 0.0]
    beyond = [room for room in beyond if names is None or room.name in names]
    if not beyond:
        return f"does not close: {flown.plan.verdict}"
    worst = min(beyond, key=lambda room: room.share)
    more = f" (and {len(beyond) - 1} more)" if len(beyond) > 1 else ""
    return f"{fallen(worst)}{more}"


def fallen(room: Room) -> str:
    """Return a limit that is passed, in words: the margin after a burn falls to -3 m/s."""
    if room.text:
        return room.text
    if not room.numbered:
        return f"{room.name} is beyond its limit"
    if room.name.startswith("margin"):
        return f"the {room.name} falls to {room.said}"
    return f"what is left of {room.name} falls to {room.said}"


def _levels(
    request: Request,
    each: Freed,
    value: Value,
    searched: Sequence[Searched],
    values: dict[Freed, Value],
) -> str:
    """Return what came of the other levels of a whole number or a choice, all else being equal."""
    others = {x.key: values[x] for x in request.discrete if x is not each}
    found = [
        (x.levels[each.key], x)
        for x in searched
        if x.levels[each.key] != value and others.items() <= x.levels.items()
    ]
    if not found:
        return "no other was searched"
    told = [f"{each.written(level)}: {_came(request, x)}" for level, x in found[:SHOWN]]
    more = f"; {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    return "; ".join(told) + more


def _came(request: Request, searched: Searched) -> str:
    if searched.value is None:
        return searched.outcome
    return request.measure.shown(searched.value)


def limits(
    request: Request, best: Found, keys: Sequence[Sized]
) -> tuple[tuple[Active, ...], tuple[Room, ...], tuple[str, ...]]:
    """Return the limits that hold the best, those that it passes, which of these nothing moves."""
    if best.answer is None or not isinstance(best.answer.whole, Flown):
        return (), (), ()
    answer, told = best.answer, best.answer.whole.rooms
    beyond = [room for room in told.values() if room.left < 0.0]
    conflict = tuple(sorted(beyond, key=lambda room: room.share))
    if best.local is None or best.local.answer is not answer or not len(answer.x):
        return (), conflict, ()
    active = _active(request, best.local, [name for each in keys for name in each.active], told)
    return active, conflict, tuple(holding.unmoved(best.local))


def _active(
    request: Request, local: Local, met: Sequence[str], told: Mapping[str, Room]
) -> tuple[Active, ...]:
    """Return the limits that have a price, and those that are reached and hold a key."""
    priced, whole = holding.prices(local), request.measure.of(request.scenario) or 1.0
    names = dict.fromkeys((*priced, *(x for x in holding.reached(local) if x in met)))
    found = []
    for name in sorted(names, key=lambda x: -priced.get(x, 0.0)):
        worth = priced.get(name, 0.0) * whole / told[name].scale
        priceless = not local.answer.good or request.measure.name == "cost"
        found.append(Active(told[name], None if priceless else worth))
    return tuple(found)
