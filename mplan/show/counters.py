"""How the counters of a mission are written: five tables, and a few lines for a brief."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.checks import counters
from mplan.checks.counters import CounterSheet
from mplan.checks.counters.joints import Cycle
from mplan.checks.counters.starts import CountedStart
from mplan.checks.limits.engines import called
from mplan.physics.constants import MINUTE
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.show.columns import Column, clock

MAIN = "main ship"


def ship(name: str) -> str:
    """Return a ship's name as people read it."""
    return plain(name) or MAIN


def columns(name: str, plan: Plan) -> list[Column]:
    """Return the columns of the table of a field of the sheet; ships are told if there are some."""
    several = bool(plan.flight.others) and name in _OF_A_SHIP
    return [*([_SHIP] if several else []), *_COLUMNS[name]]


def lines(plan: Plan) -> list[str]:
    """Return a line a ship, one of dockings and crew, one of jettisons."""
    sheet = counters.of(plan.flight)
    ships = dict.fromkeys(x.ship for x in sheet.starts)
    several = bool(plan.flight.others)
    found = [
        (f"{ship(name)}: " if several else "") + _lit([x for x in sheet.starts if x.ship == name])
        for name in ships
    ]
    found += [_dockings(sheet)] if sheet.dockings or sheet.crew_transfers else []
    return [*found, *([_jettisons(sheet)] if sheet.jettisons else [])]


def _lit(lit: Sequence[CountedStart]) -> str:
    """Return how often a ship's engines are lit, and what is nearest to what they may do."""
    last = {x.key: x for x in lit}  # of each engine
    total = sum(x.last for x in last.values())
    near = max(last.values(), key=lambda x: x.burned / x.rated.qualified_duration)
    parts = [f"{_called(near)} {near.burned:,.0f} of {near.rated.qualified_duration:,.0f} s"]
    again = [x for x in last.values() if x.rated.starts > 1]  # one start of one is by plan
    if again:
        near = max(again, key=lambda x: x.last / x.rated.starts)
        parts.insert(0, f"{_called(near)} {near.last} of {near.rated.starts}")
    begin = f"{total} starts of {len(last)} kinds of engines"
    return f"{begin}; nearest to its limit: {', '.join(parts)}"


def _called(lit: CountedStart) -> str:
    return called(lit.key, lit.rated)


def _dockings(sheet: CounterSheet) -> str:
    """Return how often each port docks, and who goes where when."""
    last = {port.element: port for x in sheet.dockings for port in (x.active, x.target)}
    ports = ", ".join(f"{plain(x.element)} {_number(x)}" for x in last.values())
    many = len(sheet.dockings)
    begin = f"{many} docking{'s' * (many != 1)}" + (f" ({ports})" if ports else "")
    went = [f"{x.crew} to {plain(x.target)} at {clock(x.elapsed)}" for x in sheet.crew_transfers]
    return f"{begin}; crew transfers: {', '.join(went) or 'none'}"


def _number(port: Cycle) -> str:
    return f"{port.number}" + (f" of {port.qualified}" if port.qualified is not None else "")


def _jettisons(sheet: CounterSheet) -> str:
    return f"jettisons in order: {', '.join(plain(x.element) for x in sheet.jettisons)}"


def _start(lit: CountedStart) -> str:
    several = f"{lit.first} to {lit.last}" if lit.last > lit.first else f"{lit.first}"
    return f"{several} of {lit.rated.starts}"


def _in_minutes(seconds: float | None) -> float | None:
    return None if seconds is None else seconds / MINUTE


def _port(port: Cycle) -> str:
    return f"{plain(port.element)}, docking {_number(port)}"


_WHEN = Column("since lift-off", lambda x: clock(x.elapsed))
_SHIP = Column("ship", lambda x: ship(x.ship))
_OF_A_SHIP = ("starts", "thruster_tanks", "jettisons")
_COLUMNS: dict[str, tuple[Column, ...]] = {
    "starts": (
        Column("engine", _called),
        Column("for", lambda x: x.what),
        _WHEN,
        Column("start", _start),
        Column("burn time [s]", lambda x: x.seconds, 1),
        Column("longest single burn [s]", lambda x: x.longest, 0),
        Column("burned in all [s]", lambda x: x.burned, 1),
        Column("qualified in all [s]", lambda x: x.rated.qualified_duration, 0),
        Column("shortest pause [min]", lambda x: _in_minutes(x.shortest_pause), 1),
        Column("restart interval [min]", lambda x: _in_minutes(x.rated.restart_interval), 1),
    ),
    "thruster_tanks": (
        Column("element", lambda x: plain(x.element)),
        Column("engine", lambda x: plain(x.engine)),
        Column("loaded [kg]", lambda x: x.loaded, 1),
        Column("settling [kg]", lambda x: x.settling, 1),
        Column("attitude, estimate [kg]", lambda x: x.attitude, 1),
        Column("docking and separation, estimate [kg]", lambda x: x.docking, 1),
        Column("burns of thrusters [kg]", lambda x: x.burns, 1),
        Column("orbit upkeep [kg]", lambda x: x.upkeep, 1),
        Column("other engines, boil-off, transfers [kg]", lambda x: x.other, 1),
        Column("left [kg]", lambda x: x.left, 1),
        Column("of it usable [kg]", lambda x: x.usable, 1),
    ),
    "dockings": (
        Column("event", lambda x: x.what),
        _WHEN,
        Column("moves up", lambda x: _port(x.active)),
        Column("docks to", lambda x: _port(x.target)),
    ),
    "crew_transfers": (
        Column("event", lambda x: x.what),
        _WHEN,
        Column("crew", lambda x: x.crew, 0),
        Column("from", lambda x: plain(x.origin)),
        Column("to", lambda x: plain(x.target)),
    ),
    "jettisons": (
        Column("element", lambda x: plain(x.element)),
        _WHEN,
        Column("mass [t]", lambda x: x.mass / 1e3, 2),
    ),
}
TABLES = tuple(_COLUMNS)
