"""The cards of a flight, in order of time: what is flown is read, ways out are flown for them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np

from mplan.checks import contact
from mplan.checks.contact import ContactLog, LinkCurve, Sighted, links
from mplan.checks.limits import Left, left
from mplan.contingencies.ways_out import looks
from mplan.contingencies.ways_out.failures import FailureName
from mplan.flight import pointing
from mplan.flight.record import Flight, Passage
from mplan.flight.state import Craft
from mplan.plan import Plan
from mplan.studies.cards import go_limits
from mplan.studies.cards.card import EventCard, IfItFails
from mplan.studies.odds import Odds

AT_IGNITION, HALF_WAY, BEFORE = "at ignition", "half-way", "before it"
LOST: FailureName = "main engine lost"
ONE_LOST: FailureName = "one engine lost"
CALLED_OFF: FailureName = "called off"
CLOSE = 1.0  # s, within which a contact is that of an event
EARLY = 1.0  # s before an event, when it may still be called off


class _Told(NamedTuple):
    """An event of a ship, `elapsed` [s] on the clock of the main one."""

    ship: str
    flight: Flight
    passage: Passage
    elapsed: float


class _Known(NamedTuple):
    """What is worked out once for all cards."""

    flight: Flight
    log: ContactLog
    curves: tuple[LinkCurve, ...]
    left: tuple[Left, ...]  # of the main ship
    odds: Odds | None


def count(plan: Plan) -> int:
    """Return how many cards a plan has."""
    return len(_told(plan.flight))


def of(
    plan: Plan,
    odds: Odds | None = None,
    *,
    ways: bool = True,
    done: Callable[[int, int], None] = lambda done, total: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Iterator[EventCard]:
    """Yield the card of each burn and event; some seconds for a mission with its ways out.

    With `odds` their margins are among the limits. Without `ways` nothing is flown for what fails.
    Asks `stopped` before each card whether to leave the rest.
    """
    told = _told(plan.flight)
    known = _known(plan.flight, odds)
    for number, each in enumerate(told, 1):
        if stopped():
            return
        yield _card(number, each, known, ways=ways)
        done(number, len(told))


def _told(flight: Flight) -> list[_Told]:
    found = [
        _Told(name, ship, x, shift + x.moment.elapsed)
        for name, ship, shift in flight.ships
        for x in ship.passages
    ]
    return sorted(found, key=lambda each: each.elapsed)


def _known(flight: Flight, odds: Odds | None) -> _Known:
    log = contact.of(flight)
    return _Known(flight, log, links.best(log.links), left.of(flight, without=("control",)), odds)


def _card(number: int, each: _Told, known: _Known, *, ways: bool) -> EventCard:
    passage, own = each.passage, not each.ship
    craft = _craft(passage)
    seen = next((x for x in known.log.events if own and _same(x, passage)), None)
    crew = sum(n for name, n in passage.before.crew.items() if name in craft)
    return EventCard(
        number=number,
        ship=each.ship,
        passage=passage,
        elapsed=each.elapsed,
        points=pointing.of(passage, each.flight.end),
        limits=go_limits.of(each.flight, passage, known.left if own else (), known.odds),
        limits_from=go_limits.rest_on(each.flight, known.odds),
        seen=seen,
        link=_link(known.curves, seen),
        silent=_silent(known.log, passage) if own and known.log.passes else None,
        crew=crew,
        ways=tuple(_fails(each.flight, passage, craft)) if ways and own and crew else (),
    )


def _craft(passage: Passage) -> Craft:
    """Return what takes part in an event."""
    burn = passage.burn
    return burn.craft if burn is not None and burn.lit else passage.moment.craft


def _same(seen: Sighted, passage: Passage) -> bool:
    burn = passage.burn
    at = burn.elapsed if burn is not None and burn.lit else passage.moment.elapsed
    name = burn.name if burn is not None and burn.lit else passage.moment.event
    return seen.event == name and abs(seen.elapsed - at) < CLOSE


def _link(curves: Sequence[LinkCurve], seen: Sighted | None) -> float | None:
    """Return the least margin beyond the wanted one [dB] of the links that work at an event."""
    if seen is None or not seen.stations:
        return None
    own = (x for x in curves if x.element == seen.element)
    found = [m - x.wanted for x in own if (m := x.at(seen.elapsed)) is not None]
    return min(found, default=None)


def _silent(log: ContactLog, passage: Passage) -> float:
    """Return how long [s] no station sees the craft while an event lasts."""
    begin, end = passage.before.elapsed, passage.after.elapsed
    craft = {x.element for x in log.silences} & set(_craft(passage))
    spans = (
        np.clip(min(end, x.end) - max(begin, x.begin), 0.0, None)
        for x in log.silences
        if x.element in craft
    )
    return float(sum(spans))


def _fails(flight: Flight, passage: Passage, craft: Craft) -> Iterator[IfItFails]:
    """Yield what each failure leaves the crew of a craft, cabin by cabin."""
    for cabin, people in passage.before.crew.items():
        if people and cabin in craft:
            for when, elapsed, failures in _asked(flight, passage):
                seen = looks.look(flight, cabin, elapsed, failures).seen
                for failure, found in seen.items():
                    yield IfItFails(failure, when, cabin, elapsed, found)


def _asked(
    flight: Flight, passage: Passage
) -> Iterator[tuple[str, float, tuple[FailureName, ...]]]:
    """Yield when an event may fail [s since lift-off], and how."""
    burn = passage.burn
    if burn is None or not burn.lit:
        last = max(passage.before.elapsed, passage.after.elapsed - EARLY)
        yield BEFORE, min(passage.moment.elapsed, last), (CALLED_OFF,)
        return
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    several: tuple[FailureName, ...] = (ONE_LOST,) if engine.count > 1 else ()
    yield BEFORE, max(0.0, burn.elapsed - EARLY), (CALLED_OFF,)
    yield AT_IGNITION, burn.elapsed, (LOST, *several)
    if burn.starts == 1:
        yield HALF_WAY, burn.elapsed + burn.duration / 2.0, (LOST, *several)
