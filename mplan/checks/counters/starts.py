"""Every start of every engine against the number it is qualified for, with its burn times."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, starmap
from typing import NamedTuple

from mplan.checks.counters.owner import owner
from mplan.flight.record import Flight, Passage
from mplan.flight.rendezvous import FineBurn
from mplan.flight.state import State
from mplan.scenario import Engine
from mplan.scenario.wording import plain
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import Key, Ledger
from mplan.vehicle.same import once


@dataclass(frozen=True)
class CountedStart:
    """One start, or several of a series flown as one leg: times in [s] on the crew's clock.

    `first` and `last` are its numbers. `seconds` is how long the engine runs, `burned` all that
    it has run by then. `pause` is the time since its last cut-off, None at the first start;
    `within` the shortest pause inside a series, None of a single start.
    """

    ship: str  # that lifted the element off; "" for the main ship
    flown_by: str  # the ship in whose events it is lit
    element: str
    engine: str
    rated: Engine  # as the scenario has it
    what: str
    elapsed: float
    first: int
    last: int
    seconds: float
    burned: float
    cut_off: float
    pause: float | None = None
    within: float | None = None

    @property
    def key(self) -> Key:
        """The element and its engine."""
        return self.element, self.engine

    @property
    def shortest_pause(self) -> float | None:
        """The shortest pause before and inside it [s], None at a first start."""
        return min((x for x in (self.pause, self.within) if x is not None), default=None)

    @property
    def longest(self) -> float:
        """The longest single burn that the engine is qualified for [s]."""
        longest = self.rated.longest_burn
        return self.rated.qualified_duration if longest is None else longest


class _Use(NamedTuple):
    """How often an engine has been lit so far, and how long it has run [s]."""

    starts: int
    seconds: float


@once
def of(flight: Flight) -> tuple[CountedStart, ...]:
    """Return every start of a mission, in order of time; those of one engine are numbered on.

    Of a ship that an earlier mission left, those of that mission too.
    """
    found = [
        evolved(x, elapsed=x.elapsed + shift, cut_off=x.cut_off + shift)
        for name, earlier in flight.left.items()
        for shift in [earlier.end.lift_off - flight.end.lift_off if flight.dated else 0.0]
        for x in _before(flight, name, earlier)
    ]
    found += [
        evolved(x, flown_by=name, elapsed=x.elapsed + shift, cut_off=x.cut_off + shift)
        if name or shift
        else x
        for name, ship, shift in flight.ships
        for each in ship.passages
        for x in _in_passage(flight, each)
    ]
    return tuple(_with_pauses(sorted(found, key=lambda x: x.elapsed)))


def by_engine(counted: Iterable[CountedStart]) -> dict[Key, list[CountedStart]]:
    """Return the starts of each engine, in order of time."""
    found: dict[Key, list[CountedStart]] = {}
    for each in counted:
        found.setdefault(each.key, []).append(each)
    return found


def _before(flight: Flight, name: str, earlier: Flight) -> Iterator[CountedStart]:
    """Yield the starts of a ship's elements in the mission that left it, on that one's clock."""
    for each in of(earlier):
        if each.element in flight.scenario.ships[name].stack:
            rated = flight.scenario.elements[each.element].engines[each.engine]
            what = f"{each.what}, in {earlier.scenario.mission.name}"
            yield evolved(each, ship=name, flown_by=name, rated=rated, what=what)


def _with_pauses(found: list[CountedStart]) -> Iterator[CountedStart]:
    cut_off: dict[Key, float] = {}
    for each in found:
        before = cut_off.get(each.key)
        yield each if before is None else evolved(each, pause=each.elapsed - before)
        cut_off[each.key] = each.cut_off


def _in_passage(flight: Flight, passage: Passage) -> Iterator[CountedStart]:
    """Yield what was lit in an event: what the ledger has after it and did not have before."""
    met = [
        x[-1].after for name, x in passage.after.waits.items() if name not in passage.before.waits
    ]
    if not met and _same_counts(passage):
        return
    before, after = _ledgers(passage.before, met), _ledgers(passage.after)
    for key, ledger in after.items():
        was = _used(before.get(key), key)
        if ledger.starts[key] == was.starts:
            continue
        now, (element, engine) = _used(ledger, key), key
        what, elapsed = _occasion(passage, key, now.seconds - was.seconds)
        series = _series(passage) if now.starts - was.starts > 1 else ()
        seconds = now.seconds - was.seconds
        yield CountedStart(
            ship=owner(flight.scenario, element),
            flown_by="",
            element=element,
            engine=engine,
            rated=flight.scenario.elements[element].engines[engine],
            what=what,
            elapsed=elapsed,
            first=was.starts + 1,
            last=now.starts,
            seconds=seconds,
            burned=now.seconds,
            cut_off=series[-1].elapsed + series[-1].duration if series else elapsed + seconds,
            within=min(starmap(_gap, pairwise(series)), default=None),
        )


def _same_counts(passage: Passage) -> bool:
    """Return whether no ledger has counted a start: most events hand the very counts on."""
    before, after = passage.before, passage.after
    return before.waiting is after.waiting and before.ledger.starts is after.ledger.starts


def _gap(before: FineBurn, after: FineBurn) -> float:
    """Return the pause between two burns [s]; weak thrusters burn from one into the next."""
    return max(0.0, after.elapsed - before.elapsed - before.duration)


def _series(passage: Passage) -> tuple[FineBurn, ...]:
    """Return the burns of a rendezvous; none of another event."""
    before, after = passage.before, passage.after
    if after.rendezvous is not None and before.rendezvous is None:
        return after.rendezvous.burns
    return after.met[-1][1] if len(after.met) > len(before.met) else ()


def _ledgers(state: State, met: Sequence[State] = ()) -> Mapping[Key, Ledger]:
    """Return who counts each engine: ships that wait, or have just been met, count theirs."""
    ledgers = [*(x.ledger for x in (*state.waiting.values(), *met)), state.ledger]
    return {key: ledger for ledger in ledgers for key in ledger.starts}


def _used(ledger: Ledger | None, key: Key) -> _Use:
    """Return the use of an engine by a ledger, none by one that does not count it."""
    return _Use(ledger.starts[key], ledger.seconds[key]) if ledger else _Use(0, 0.0)


def _occasion(passage: Passage, key: Key, seconds: float) -> tuple[str, float]:
    """Return for what an engine was lit, and when [s since lift-off]."""
    burn, title = passage.burn, passage.moment.event
    if burn is None:
        return f"settling for {title}", passage.moment.elapsed
    if (burn.element, burn.engine) == key:
        return title, burn.elapsed - burn.hold_down
    done = burn.settling
    if done is not None and (done.element, done.engine) == key:
        return f"settling for {title}", burn.elapsed - seconds
    return f"{title}, beside {plain(burn.element)}", burn.elapsed - burn.hold_down
