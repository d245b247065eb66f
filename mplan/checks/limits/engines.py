"""How much of what its engines are qualified for a flight uses, and what the engines cost."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.counters import starts
from mplan.checks.counters.starts import CountedStart
from mplan.checks.limits.row import LimitRow
from mplan.flight.record import Flight
from mplan.physics.constants import MINUTE
from mplan.scenario import Engine, Scenario
from mplan.scenario.events import SERIES
from mplan.scenario.wording import plain
from mplan.vehicle.ledger import Key


def rows(flight: Flight) -> Iterator[LimitRow]:
    """Yield starts, burn times and pauses of every engine that was lit, before it was met too."""
    ledger, counted = flight.end.ledger, starts.by_engine(starts.of(flight))
    for key, lit in ledger.starts.items():
        engine = flight.scenario.elements[key[0]].engines[key[1]]
        name = called(key, engine)
        yield LimitRow("starts", name, lit, engine.starts, "", 0)
        rated = engine.qualified_duration
        yield LimitRow("burn time", name, ledger.seconds[key], rated, "s", 0)
        yield from _longest(name, engine, key, flight)
        yield from _pause(name, engine, counted.get(key, []))


def called(key: Key, engine: Engine) -> str:
    """Return an engine as people say it: its label and its element."""
    return f"{engine.label or plain(key[1])} of {plain(key[0])}"


def _longest(name: str, engine: Engine, key: Key, flight: Flight) -> Iterator[LimitRow]:
    if engine.longest_burn is None:
        return
    burns = [x for x in flight.every_burn if x.lit and (x.element, x.engine) == key]
    single = [each.running for each in burns if each.leg not in SERIES]
    if single:
        yield LimitRow("longest burn", name, max(single), engine.longest_burn, "s", 0)


def _pause(name: str, engine: Engine, lit: list[CountedStart]) -> Iterator[LimitRow]:
    pauses = [x.shortest_pause for x in lit if x.shortest_pause is not None]
    if engine.restart_interval is not None and pauses:
        limit = engine.restart_interval / MINUTE
        pause = min(pauses) / MINUTE
        yield LimitRow("restart interval", name, pause, limit, "min", 1, least=True)


def costs(scenario: Scenario) -> Iterator[LimitRow]:
    """Yield what the stack's engines cost, in millions, as far as they state it.

    A type is developed once, whatever stages it flies on. A scenario states no limit of cost.
    """
    used = [
        (engine.label or engine.origin or f"{name}.{key}", engine)
        for name in scenario.order
        for key, engine in scenario.elements[name].engines.items()
    ]
    units = [x.count * x.unit_cost for _, x in used if x.unit_cost is not None]
    once = {name: x.nonrecurring_cost for name, x in used if x.nonrecurring_cost is not None}
    types = {name for name, _ in used}
    of = f"{len(units)} of {len(used)} kinds of engines state it"
    paid = sum(units) if units else None
    yield LimitRow("unit cost", of, paid, None, "millions", 0)
    of = f"{len(once)} of {len(types)} types of engines state it"
    paid = sum(once.values()) if once else None
    yield LimitRow("nonrecurring cost", of, paid, None, "millions", 0)
