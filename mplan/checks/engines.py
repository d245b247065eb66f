"""Has every engine the starts, durations and pauses required, and is it delivered in time?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, MINUTE
from mplan.scenario import Engine
from mplan.scenario.figures import Figures, at_least, at_most
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import Key

RATING = "what the engine is qualified for in the scenario"
DELIVERY = "the engine's delivery time in the scenario"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each engine used beyond its qualification or delivered too late."""
    ledger = flight.end.ledger
    for used, lit in ledger.starts.items():
        engine = flight.scenario.elements[used[0]].engines[used[1]]
        yield from _in_all(used, engine, lit, ledger.seconds[used])
        yield from _one_by_one(flight, used, engine)
    for name in flight.scenario.order:
        for key, engine in flight.scenario.elements[name].engines.items():
            yield from _delivered(flight, name, key, engine)


def _in_all(key: Key, engine: Engine, lit: int, burned: float) -> Iterator[Finding]:
    """Check what all burns together require."""
    called = _called(key, engine)
    if lit > engine.starts:
        text = f"{called} is started {lit} times and is qualified for {engine.starts}"
        figures = Figures(f"{engine.starts} starts at most", f"{lit}")
        yield _finding("starts", key, text, figures)
    if burned > engine.qualified_duration:
        figures = at_most(engine.qualified_duration, burned, "s", 0)
        text = f"{called} burns {figures.found} in all, longer than it is qualified for"
        yield _finding("qualified duration", key, text, figures)


def _one_by_one(flight: Flight, key: Key, engine: Engine) -> Iterator[Finding]:
    """Check the longest burn, and the pauses between burns."""
    burns = [each for each in flight.burns if each.lit and (each.element, each.engine) == key]
    called, rated, least = _called(key, engine), engine.longest_burn, engine.restart_interval
    single = [each for each in burns if each.leg != "rendezvous"]  # that is a series of burns
    longest = max((each.running for each in single), default=0.0)
    if not burns:  # it burned out beside another stage, once
        longest = flight.end.ledger.seconds[key]
    if rated is not None and longest > rated:
        figures = at_most(rated, longest, "s", 0)
        text = f"{called} burns {figures.found} at a time, longer than it is qualified for"
        yield _finding("longest burn", key, text, figures)
    for before, after in pairwise(burns):
        pause = after.elapsed - before.elapsed - before.duration
        if least is not None and pause < least:
            figures = at_least(least / MINUTE, pause / MINUTE, "min")
            text = f"{called} is started again {figures.found} after {before.name}"
            yield _finding("restart", key, text, figures, after.name)


def _delivered(flight: Flight, element: str, name: str, engine: Engine) -> Iterator[Finding]:
    """Check that an engine decided on in time is there on the launch day."""
    dates = flight.scenario.dates
    if dates.decision_day is None or engine.delivery_time is None:
        return
    arrives = dates.decision_day + timedelta(seconds=engine.delivery_time)
    if arrives > dates.launch_day:
        late = (arrives - dates.launch_day).total_seconds() / DAY
        called = _called((element, name), engine)
        days = f"{engine.delivery_time / DAY:.0f} d from {dates.decision_day}"
        yield Finding(
            severity="needs a decision",
            check="delivery time",
            event=element,
            text=f"{called} is delivered {late:.0f} d after the launch day",
            limit=f"by {dates.launch_day}",
            found=f"{arrives}: {days}",
            basis=DELIVERY,
            subject=(element, name),
        )


def _called(key: Key, engine: Engine) -> str:
    return f"{engine.label or plain(key[1])} of {plain(key[0])}"


def _finding(
    check: str, key: Key, text: str, figures: Figures, event: str | None = None
) -> Finding:
    return Finding("stops the flight", check, event or key[0], text, *figures, RATING, key)
