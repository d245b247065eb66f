"""One failure in one cabin at one time: what is asked is checked, then every way out is flown."""

from __future__ import annotations

from typing import NamedTuple, NoReturn

from mplan.contingencies.ways_out.cells import cabins_of
from mplan.contingencies.ways_out.failures import FAILURES, FailureName
from mplan.contingencies.ways_out.looks import ways_at
from mplan.contingencies.ways_out.onward import ship_cabin
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR, MINUTE
from mplan.scenario import Problem, ScenarioError
from mplan.scenario.wording import choices, plain

OF_ENGINES = ("main engine lost", "one engine lost")


class WaysAsked(NamedTuple):
    """What was asked, and what there is: every way, the best one first.

    `unknown` says why nothing is examined there; "" where ways were looked for. `fails` is the burn
    whose engine fails, "" where none does.
    """

    point: CabinPoint
    failure: FailureName
    ways: tuple[WayOut, ...]
    unknown: str = ""
    fails: str = ""


def at(flight: Flight, elapsed: float, failure: str, cabin: str = "") -> WaysAsked:
    """Return every way out `elapsed` [s since lift-off].

    If no cabin is named, from the ship, or from where people are if nobody is in it then.

    Raises ScenarioError for a time outside the flight, a cabin that does not exist or that nobody
    is in then, an unknown failure, and one of an engine where no burn is on or comes.
    """
    point = _point(flight, elapsed, cabin)
    name = failure_named(failure)
    _check_time(point)
    fails = _check_engine(point, name)
    try:
        return WaysAsked(point, name, ways_at(point, name), "", fails)
    except LookupError as reason:
        return WaysAsked(point, name, (), str(reason), fails)


def may_fail(flight: Flight, elapsed: float, failure: FailureName, cabin: str = "") -> bool:
    """Tell whether a failure can arise: one of an engine needs a burn that is on or comes."""
    point = _point(flight, elapsed, cabin)
    _check_time(point)
    return failure not in OF_ENGINES or point.next_burn is not None


def _point(flight: Flight, elapsed: float, cabin: str) -> CabinPoint:
    """Return the cabin asked for at a time; of none named the ship's, or one with people in it."""
    point = CabinPoint(flight, cabin_named(flight, cabin), elapsed)
    if cabin or not 0.0 <= elapsed < flight.duration or point.crew:
        return point
    others = (CabinPoint(flight, each, elapsed) for each in cabins_of(flight))
    return next((each for each in others if each.crew), point)


def written(elapsed: float) -> str:
    """Return a time since lift-off as hours and minutes, like 75:41."""
    sign, whole = ("-", -elapsed) if elapsed < 0.0 else ("", elapsed)
    hours, minutes = divmod(round(whole / MINUTE), 60)
    return f"{sign}{hours}:{minutes:02d}"


def cabin_named(flight: Flight, cabin: str = "") -> str:
    """Return a cabin of a flight, that of the ship if none is named. Raises ScenarioError."""
    known = cabins_of(flight)
    named = cabin or ship_cabin(flight)
    if named in known:
        return named
    if not known:
        _refuse("cabin", "nobody is aboard in this mission: there is nobody to bring home")
    _refuse("cabin", f'found "{named}"; accepted: {choices(known)}')


def failure_named(failure: str) -> FailureName:
    """Return a failure by its name. Raises ScenarioError."""
    for each in FAILURES:
        if each == failure:
            return each
    _refuse("failure", f'found "{failure}"; accepted: {choices(FAILURES)}')


def _check_time(point: CabinPoint) -> None:
    flight = point.flight
    if not 0.0 <= point.elapsed < flight.duration:
        text = f"found {written(point.elapsed)} since lift-off; accepted: from 0:00 to before "
        _refuse("at", f"{text}{written(flight.duration)}, when the flight ends")
    if not point.crew:
        spans = [x for x in flight.passages if x.before.crew.get(point.cabin)]
        first, last = spans[0].before.elapsed, spans[-1].after.elapsed
        text = f"found {written(point.elapsed)}, when nobody is in {plain(point.cabin)}"
        _refuse("at", f"{text}; accepted: from {written(first)} to {written(last)}")


def _check_engine(point: CabinPoint, failure: FailureName) -> str:
    """Return the burn whose engine fails; refuse a failure of an engine that burns no more."""
    if failure not in OF_ENGINES:
        return ""
    if point.next_burn is not None:
        return point.next_burn.name
    lit = [x for x in point.flight.burns if x.lit and point.cabin in x.craft]
    burns = "; ".join(
        f"{x.name} {written(x.elapsed)} to {written(x.elapsed + x.duration)}" for x in lit
    )
    text = f'"{failure}" at {written(point.elapsed)}: nothing burns then, and no burn comes'
    _refuse("failure", f"{text}; accepted: before or in one of the burns: {burns or 'none'}")


def _refuse(key: str, text: str) -> NoReturn:
    raise ScenarioError([Problem("ways out", key, text)])


def time_named(text: str) -> float:
    """Return a time since lift-off [s] that is written like 75:41. Raises ScenarioError."""
    try:
        return seconds(text)
    except ValueError:
        accepted = "hours and minutes since lift-off, such as 75:41"
        _refuse("at", f"found {text}; accepted: {accepted}")


def seconds(text: str) -> float:
    """Return a time since lift-off that is written like 75:41 or 75:41:30 [s]. Raises ValueError.

    >>> seconds("75:41")
    272460.0
    """
    parts = text.split(":")
    if len(parts) not in (2, 3) or not all(x.isdigit() for x in parts):
        raise ValueError(text)
    numbers = [int(x) for x in parts]
    if any(x > 59 for x in numbers[1:]):
        raise ValueError(text)
    hours, minutes, *rest = numbers
    return hours * HOUR + minutes * MINUTE + float(sum(rest))
