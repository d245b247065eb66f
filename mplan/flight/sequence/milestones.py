"""Whether every leg that the profile needs is there, once, and in the order it is flown."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from mplan.flight.sequence.fault import Fault, Missing, at
from mplan.scenario import Event, Scenario
from mplan.scenario.events import has_burn, leg_of
from mplan.scenario.profiles import (
    APOLUNE_CHANGE,
    CIRCULARISATION,
    HYBRID,
    HYBRID_TRANSFER,
    NEEDS,
    PLANE_CHANGE,
    UPKEEP,
)

Kind = tuple[str, str]  # what the event does, and its leg


class Milestone(NamedTuple):
    """One step of a mission, in the order they are flown; `once` where a second one is a fault."""

    name: str
    kind: Kind
    lacking: str = ""  # what to say where a mission that needs it lacks it
    once: bool = True


MILESTONES = (
    Milestone("lift-off", ("lift-off", ""), "the mission has no lift-off"),
    Milestone("climb", ("burn", "climb"), "nothing lifts the stack", once=False),
    Milestone(
        "parking-orbit coast",
        ("coast", "parking orbit"),
        "there is no parking-orbit coast between the climb and the translunar injection",
    ),
    Milestone("Earth-orbit rendezvous", ("burn", "Earth-orbit rendezvous")),
    Milestone(
        "translunar injection", ("burn", "translunar injection"), "nothing burns for the Moon"
    ),
    Milestone("outbound correction", ("burn", "outbound correction"), once=False),
    Milestone("translunar coast", ("coast", "translunar coast"), "there is no translunar coast"),
    Milestone(
        "lunar-orbit insertion",
        ("burn", "lunar-orbit insertion"),
        "nothing brings the ship into lunar orbit",
    ),
    Milestone("lunar-orbit circularisation", ("burn", "lunar-orbit circularisation")),
    Milestone("lunar-orbit rendezvous", ("burn", "lunar-orbit rendezvous")),
    Milestone(
        "descent-orbit insertion",
        ("burn", "descent-orbit insertion"),
        "nothing lowers the lander's orbit before the powered descent",
    ),
    Milestone(
        "descent coast",
        ("coast", "descent coast"),
        "there is no descent coast down to the powered descent",
    ),
    Milestone("powered descent", ("burn", "powered descent"), "nothing lands the lander"),
    Milestone("touchdown on the Moon", ("land", ""), "the lander never touches down"),
    Milestone("stay", ("stay", ""), "there is no stay at the Moon"),
    Milestone(
        "lunar ascent",
        ("burn", "lunar ascent"),
        "nothing lifts the crew off the Moon",
    ),
    Milestone(
        "rendezvous",
        ("burn", "rendezvous"),
        "nothing brings the ascent stage to the ship",
    ),
    Milestone(
        "trans-Earth injection",
        ("burn", "trans-Earth injection"),
        "nothing burns for the way home",
    ),
    Milestone("homeward correction", ("burn", "homeward correction"), once=False),
    Milestone("transearth coast", ("coast", "transearth coast"), "there is no coast to Earth"),
    Milestone("atmospheric entry", ("enter", ""), "nothing enters the atmosphere"),
    Milestone("splashdown", ("splash", ""), "the mission has no splashdown"),
)
_RANKS = {each.kind: rank for rank, each in enumerate(MILESTONES)}
_Placed = tuple[int, int]  # index of the event, rank of its milestone


def faults(scenario: Scenario) -> Iterator[Fault]:
    """Yield what lacks, what comes twice, and what comes at the wrong place."""
    placed = [(i, rank) for i, x in enumerate(scenario.events) if (rank := _rank(x)) is not None]
    single = list(_once(placed))
    yield from _twice(placed, single)
    yield from _misplaced(scenario, single)
    yield from _lacking(scenario, placed)
    yield from _plane_changes(scenario)
    yield from _apolune_changes(scenario)
    yield from _hybrid_transfers(scenario)
    yield from _ends(scenario)


def _rank(event: Event) -> int | None:
    return _RANKS.get((event.do, leg_of(event) or ""))


def _once(placed: list[_Placed]) -> Iterator[_Placed]:
    """Yield the first of each milestone that comes once, and all of the others."""
    seen: set[int] = set()
    for index, rank in placed:
        if rank not in seen or not MILESTONES[rank].once:
            yield index, rank
        seen.add(rank)


def _twice(placed: list[_Placed], single: list[_Placed]) -> Iterator[Fault]:
    first = {rank: index for index, rank in reversed(single)}
    for index, rank in placed:
        if (index, rank) not in single:
            name = MILESTONES[rank].name
            yield at(index, f"{name} a second time, after events.{first[rank]}")


def _misplaced(scenario: Scenario, placed: list[_Placed]) -> Iterator[Fault]:
    """Yield the events to be moved: the fewest that leave the others in order."""
    kept = _in_order([rank for _, rank in placed])
    for place, (index, rank) in enumerate(placed):
        if place in kept:
            continue
        before = [x for x in kept if x < place and placed[x][1] > rank]
        after = [x for x in kept if x > place and placed[x][1] < rank]
        name = MILESTONES[rank].name
        if before:
            other, kind = placed[before[0]]
            text = f"{name} comes after {MILESTONES[kind].name}, events.{other}, which it precedes"
        else:
            other, kind = placed[after[-1]]
            text = f"{name} comes before {MILESTONES[kind].name}, events.{other}, which it follows"
        yield at(index, text)


def _in_order(ranks: list[int]) -> list[int]:
    """Return the places of a longest row of ranks that never falls (Fredman 1975)."""
    tails: list[int] = []  # the lowest last rank of a row of each length
    ends: list[int] = []
    before: list[int | None] = []
    for place, rank in enumerate(ranks):
        length = bisect_right(tails, rank)
        before.append(ends[length - 1] if length else None)
        tails[length : length + 1], ends[length : length + 1] = [rank], [place]
    row, last = [], ends[-1] if ends else None
    while last is not None:
        row.append(last)
        last = before[last]
    return row[::-1]


def _lacking(scenario: Scenario, placed: list[_Placed]) -> Iterator[Fault]:
    needed = NEEDS[scenario.mission.profile].steps
    there = {rank for _, rank in placed}
    for rank, each in enumerate(MILESTONES):
        if each.name in needed and rank not in there:
            place = next((i for i, later in placed if later > rank), len(scenario.events))
            if each.kind[0] in ("land", "stay"):  # at once, before anything is dropped there
                place = max((i + 1 for i, sooner in placed if sooner < rank), default=place)
            event = Missing(
                place, {key: x for key, x in zip(("do", "leg"), each.kind, strict=True) if x}
            )
            alone = each.kind[0] in ("coast", "land", "stay", "lift-off", "splash")
            text = f"{each.lacking}; missing: {event.written}"
            yield Fault(("events",), text, event if alone else None)
    circular = _RANKS["burn", "lunar-orbit circularisation"] in there
    captured = has_burn(scenario.events, "lunar-orbit insertion")
    stays = captured and not circular and not _ends_in_an_ellipse(scenario)
    if scenario.orbits.capture_apolune is not None and stays:
        text = f"the ship stays in its capture orbit: no event is a {CIRCULARISATION}"
        yield Fault(("orbits", "capture_apolune"), text)


def _ends_in_an_ellipse(scenario: Scenario) -> bool:
    orbits = scenario.orbits
    return orbits.lunar_apolune is not None and orbits.lunar_argument_of_perilune is None


def _apolune_changes(scenario: Scenario) -> Iterator[Fault]:
    """Yield apolune changes out of lunar orbit, the last that lacks, and revolutions miscounted."""
    orbits = scenario.orbits
    legs = [leg_of(x) for x in scenario.events]
    for index in _outside(legs, APOLUNE_CHANGE):
        yield at(index, f"{APOLUNE_CHANGE} outside lunar orbit")
    if "lunar-orbit insertion" not in legs:
        return
    round_ = legs.index(CIRCULARISATION) if CIRCULARISATION in legs else 0
    lacks = orbits.capture_apolune is not None or orbits.lunar_argument_of_perilune is not None
    if orbits.lunar_apolune is not None and lacks and APOLUNE_CHANGE not in legs[round_:]:
        text = f"no event leads to it: missing a {APOLUNE_CHANGE}"
        yield Fault(("orbits", "lunar_apolune"), text)
    found = legs[: round_ or None].count(APOLUNE_CHANGE) + bool(round_)
    if orbits.capture_revolutions > 1 and found != orbits.capture_revolutions:
        text = f"found {orbits.capture_revolutions}, but the events have {found} burns from the "
        text += f"capture orbit to the last one; accepted: {found}, or as many burns"
        yield Fault(("orbits", "capture_revolutions"), text)


def _outside(legs: Sequence[str | None], sought: str) -> Iterator[int]:
    """Yield the places of a leg outside lunar orbit."""
    inside = False
    for index, leg in enumerate(legs):
        inside = (inside or leg == "lunar-orbit insertion") and leg != "trans-Earth injection"
        if leg == sought and not inside:
            yield index


def _plane_changes(scenario: Scenario) -> Iterator[Fault]:
    """Yield plane changes out of lunar orbit, and the one in the capture orbit that lacks."""
    legs = [leg_of(x) for x in scenario.events]
    for leg in (PLANE_CHANGE, UPKEEP):
        for index in _outside(legs, leg):
            yield at(index, f"{leg} outside lunar orbit")
    before = legs[: legs.index(CIRCULARISATION)] if CIRCULARISATION in legs else legs
    if scenario.orbits.capture_plane_change is not None and PLANE_CHANGE not in before:
        text = f"no event is a {PLANE_CHANGE} before the {CIRCULARISATION}"
        yield Fault(("orbits", "capture_plane_change"), text)


def _hybrid_transfers(scenario: Scenario) -> Iterator[Fault]:
    """Yield a hybrid transfer that lacks, one out of place and one on an arc of another kind."""
    legs = [leg_of(x) for x in scenario.events]
    first, last = (
        legs.index(x) if x in legs else 0 for x in ("translunar injection", "translunar coast")
    )
    found = [i for i, leg in enumerate(legs) if leg == HYBRID_TRANSFER]
    hybrid = scenario.orbits.translunar_arc == HYBRID
    for place, index in enumerate(found):
        if not hybrid:
            yield at(index, f'{HYBRID_TRANSFER}, but orbits.translunar_arc is not "{HYBRID}"')
        elif place > 0:
            yield at(index, f"{HYBRID_TRANSFER} a second time, after events.{found[0]}")
        elif not first < index < last:
            yield at(index, f"{HYBRID_TRANSFER} outside the way from injection to translunar coast")
    if hybrid and not found:
        event = Missing(last, {"do": "burn", "leg": HYBRID_TRANSFER})
        text = f"no event is a {HYBRID_TRANSFER} before the translunar coast; missing: "
        yield Fault(("orbits", "translunar_arc"), f"{text}{event.written}, with its element")


def _ends(scenario: Scenario) -> Iterator[Fault]:
    """Yield what comes before lift-off or after splashdown and is no milestone itself."""
    kinds = [event.do for event in scenario.events]
    if "lift-off" in kinds:
        for index in range(kinds.index("lift-off")):
            if _rank(scenario.events[index]) is None:
                yield at(index, f"{scenario.events[index].title} comes before lift-off")
    if "splash" in kinds:
        over = len(kinds) - kinds[::-1].index("splash")
        for index in range(over, len(kinds)):
            if _rank(scenario.events[index]) is None:
                yield at(index, f"{scenario.events[index].title} comes after splashdown")
