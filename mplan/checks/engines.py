"""Has every engine the starts, durations and pauses required, and is it delivered in time?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from mplan.checks.counters import starts
from mplan.checks.counters.starts import CountedStart
from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, MINUTE
from mplan.scenario import Engine
from mplan.scenario.events import SERIES
from mplan.scenario.figures import Figures, Measured, at_least, at_most, counted
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import Key

RATING = "what the engine is qualified for in the scenario"
DELIVERY = "the engine's delivery time in the scenario"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each engine used beyond its qualification or delivered too late.

    Of those that a ship launched on its own lifted, what it used before it was met counts; an
    engine that is not lit after that is that ship's affair.
    """
    ledger = flight.end.ledger
    for used, lit in starts.by_engine(starts.of(flight)).items():
        if all(each.flown_by for each in lit):
            continue
        engine = flight.scenario.elements[used[0]].engines[used[1]]
        yield from _in_all(used, engine, ledger.starts[used], ledger.seconds[used])
        yield from _longest(flight, used, engine)
        yield from _pauses(engine, lit)
    for name in flight.scenario.order:
        for key, engine in flight.scenario.elements[name].engines.items():
            yield from _delivered(flight, name, key, engine)


def _in_all(key: Key, engine: Engine, lit: int, burned: float) -> Iterator[Finding]:
    """Check what all burns together require."""
    called = _called(key, engine)
    if lit > engine.starts:
        text = f"{called} is started {lit} times and is qualified for {engine.starts}"
        figures = counted(engine.starts, lit, "starts")
        yield _finding("starts", key, text, figures)
    if burned > engine.qualified_duration:
        figures = at_most(engine.qualified_duration, burned, "s", 0)
        text = f"{called} burns {figures.found} in all, longer than it is qualified for"
        yield _finding("qualified duration", key, text, figures)


def _longest(flight: Flight, key: Key, engine: Engine) -> Iterator[Finding]:
    """Check the longest burn."""
    burns = [each for each in flight.burns if each.lit and (each.element, each.engine) == key]
    single = [each for each in burns if each.leg not in SERIES]
    longest = max((each.running for each in single), default=0.0)
    if not burns:  # it burned out beside another stage, once
        longest = flight.end.ledger.seconds[key]
    if engine.longest_burn is not None and longest > engine.longest_burn:
        figures = at_most(engine.longest_burn, longest, "s", 0)
        text = f"{_called(key, engine)} burns {figures.found} at a time, "
        yield _finding("longest burn", key, f"{text}longer than it is qualified for", figures)


def _pauses(engine: Engine, lit: list[CountedStart]) -> Iterator[Finding]:
    """Check the pauses before starts and, of a series, between them."""
    least = engine.restart_interval
    if least is None:
        return
    for before, now in zip([None, *lit], lit, strict=False):
        after = f"after {before.what}" if before else ""
        pauses = ((now.pause, after), (now.within, f"within {now.what}"))
        for pause, when in pauses:
            if pause is not None and pause < least and not now.flown_by:
                figures = at_least(least / MINUTE, pause / MINUTE, "min")
                text = f"{_called(now.key, engine)} is started again {figures.found} {when}"
                yield _finding("restart", now.key, text, figures, now.what)


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
            figures=Figures(
                f"by {dates.launch_day}",
                f"{arrives}: {days}",
                Measured(0.0, late, "d", 0),
            ),
            basis=DELIVERY,
            subject=(element, name),
        )


def _called(key: Key, engine: Engine) -> str:
    return f"{engine.label or plain(key[1])} of {plain(key[0])}"


def _finding(
    check: str, key: Key, text: str, figures: Figures, event: str | None = None
) -> Finding:
    return Finding("stops the flight", check, event or key[0], text, figures, RATING, key)
