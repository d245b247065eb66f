"""What would keep an engine within its qualification, or have it delivered in time.

No engine is made better than it is: another one is taken, more of the same, or the plan asks
less of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from itertools import pairwise
from math import ceil

from mplan.checks.counters import starts
from mplan.checks.finding import Finding
from mplan.checks.remedies import swaps
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import BurnRecord, Flight
from mplan.physics.constants import DAY, HOUR, MINUTE
from mplan.scenario import Engine
from mplan.scenario.profiles import APOLUNE_CHANGE, CIRCULARISATION
from mplan.scenario.quantities import text
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import Key, thrust

MOST_TIMES = 2.0  # the thrust of today, that more engines may have


def with_starts(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield engines with enough starts, burns by another engine of the craft, a simpler course."""
    lit = flight.end.ledger.starts[key_of(finding)]
    yield from _replaced(finding, flight, lambda new: new.starts >= lit)
    yield from _by_another(finding, flight)
    yield from _fewer_burns(finding, flight)


def with_duration(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield engines qualified for the burn time, and more engines, which burn for less long."""
    element, engine = finding.subject
    now = flight.scenario.elements[element].engines[engine]
    yield from _replaced(finding, flight, lambda new: _lasts(finding, flight, new))
    burned = flight.end.ledger.seconds[key_of(finding)]
    limit = now.qualified_duration
    if finding.check == "longest burn":
        burned, limit = _longest(finding, flight), now.longest_burn or limit
    more = ceil(now.count * burned / limit) - now.count
    if more > 0 and now.count + more <= MOST_TIMES * now.count + 1:
        yield swaps.one_more(flight.scenario, element, engine, more)
    yield from _by_another(finding, flight)


def with_pause(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield engines that may be lit again sooner, and a longer coast before the burn."""
    lit = [x for x in starts.of(flight) if x.key == finding.subject and x.what == finding.event]
    pause = min((x.shortest_pause for x in lit if x.shortest_pause is not None), default=0.0)
    yield from _longer_coast(finding, flight)
    yield from _replaced(finding, flight, lambda new: (new.restart_interval or 0.0) <= pause)
    yield from _by_another(finding, flight)


def in_time(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield engines that are delivered in time, and the launch after the delivery."""
    dates = flight.scenario.dates
    if dates.decision_day is None:
        return
    there = (dates.launch_day - dates.decision_day).total_seconds()
    yield from _replaced(finding, flight, lambda new: 0.0 < (new.delivery_time or 0.0) <= there)
    late = flight.scenario.elements[finding.subject[0]].engines[finding.subject[1]].delivery_time
    arrives = dates.decision_day + timedelta(days=ceil((late or 0.0) / DAY))
    months = ceil((arrives - dates.launch_day).days / 27.32)  # the Moon stands there again
    day = dates.launch_day + timedelta(days=round(27.32 * months))
    yield Proposal(f"launch on {day}, after the delivery", {"dates.launch_day": day.isoformat()})


def key_of(finding: Finding) -> Key:
    """Return the element and the engine that a finding is about."""
    element, engine = finding.subject
    return element, engine


def _replaced(
    finding: Finding, flight: Flight, good: Callable[[Engine], bool]
) -> Iterator[Proposal]:
    element, engine = finding.subject
    old = thrust(flight.scenario.elements[element].engines[engine])
    yield from swaps.others(
        flight.scenario, element, engine, good, lambda new: abs(thrust(new) - old)
    )


def _lasts(finding: Finding, flight: Flight, new: Engine) -> bool:
    """Tell whether an engine is qualified for the burns, longer or shorter by its thrust."""
    element, engine = finding.subject
    slower = thrust(flight.scenario.elements[element].engines[engine]) / thrust(new)
    longest = new.longest_burn or new.qualified_duration
    burned = flight.end.ledger.seconds[key_of(finding)] * slower
    return new.qualified_duration >= burned and longest >= _longest(finding, flight) * slower


def _longest(finding: Finding, flight: Flight) -> float:
    """Return the longest single burn of the engine [s]."""
    return max(
        (x.running for x in flight.burns if (x.element, x.engine) == finding.subject),
        default=flight.end.ledger.seconds[key_of(finding)],
    )


def _by_another(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose to fly a burn with another engine of the same element."""
    element, engine = finding.subject
    others = flight.scenario.elements[element].engines
    mine = [x for x in flight.burns if (x.element, x.engine) == finding.subject]
    if len(mine) < 2:
        return  # the engine would have nothing left to do
    for burn in sorted(mine, key=lambda x: (-x.starts, x.required))[:1]:
        for key, other in others.items():
            if key == engine or other.purpose == "settling" or burn.leg == "climb":
                continue
            said = f"{burn.name} with the {plain(key)} of the {plain(element)}"
            yield Proposal(said, _with_engine(flight, burn, key))


def _with_engine(flight: Flight, burn: BurnRecord, engine: str) -> dict[str, object]:
    index = next(i for i, x in enumerate(flight.passages) if x.burn is burn)
    tables = flight.scenario.events_as_written()
    tables[index]["engine"] = engine
    return {"events": tables}


def _fewer_burns(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose the circular lunar orbit at once, where its engine is lit twice to get there."""
    legs = [x.leg for x in flight.burns if (x.element, x.engine) == finding.subject]
    if CIRCULARISATION in legs and "lunar-orbit insertion" in legs:
        tables = flight.scenario.events_as_written()
        last = next(i for i, x in enumerate(tables) if x.get("leg") == CIRCULARISATION)
        above = [x for x in tables[:last] if x.get("leg") != APOLUNE_CHANGE]
        values: dict[str, object] = {"orbits.capture_apolune": None}
        values |= {"events": [*above, *tables[last + 1 :]]}
        if flight.scenario.orbits.capture_revolutions > 1:
            values |= {"orbits.capture_revolutions": None}
        yield Proposal("straight into the circular lunar orbit, by one burn", values)
    if "lunar ascent" not in legs and "rendezvous" not in legs:
        return
    if flight.scenario.rendezvous.schedule != "direct":
        yield Proposal("a direct rendezvous", {"rendezvous.schedule": "direct"})


def _pair(finding: Finding, flight: Flight) -> tuple[BurnRecord, BurnRecord] | None:
    """Return the burn that comes too soon, and the one of its engine before it, if there are."""
    mine = [x for x in flight.burns if x.lit and (x.element, x.engine) == finding.subject]
    return next((x for x in pairwise(mine) if x[1].name == finding.event), None)


def _longer_coast(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose a longer coast between two burns: a stated one, or more revolutions at Earth."""
    pair = _pair(finding, flight)
    if pair is None:
        return
    before, after = pair
    element, engine = finding.subject
    least = flight.scenario.elements[element].engines[engine].restart_interval or 0.0
    short = least - (after.elapsed - before.elapsed - before.duration)
    first = next(i for i, x in enumerate(flight.passages) if x.burn is before)
    second = next(i for i, x in enumerate(flight.passages) if x.burn is after)
    for index in range(first + 1, second):
        event = flight.passages[index].event
        if event.do == "coast" and event.leg == "parking orbit":
            more = ceil(short / (88.0 * MINUTE))
            count = flight.scenario.orbits.parking_revolutions + more
            said = f"{count} revolutions in the parking orbit"
            yield Proposal(said, {"orbits.parking_revolutions": count})
        elif event.do == "coast" and event.duration is not None:
            longer = event.duration + ceil(short / MINUTE + 1.0) * MINUTE
            tables = flight.scenario.events_as_written()
            tables[index]["duration"] = text(longer, "h")
            yield Proposal(f"{event.title} for {longer / HOUR:.1f} h", {"events": tables})
