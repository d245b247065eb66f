"""Where the propellant of thrusters and settling motors goes: loaded, drawn by kind, left."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from mplan.checks.counters.owner import last_flight, owner
from mplan.flight.record import Flight, Passage
from mplan.flight.state import State
from mplan.scenario import Engine
from mplan.scenario.thruster_budget import ItemName
from mplan.vehicle.ledger import Key, Ledger, shares

ATTITUDE: tuple[ItemName, ...] = (
    "turns",
    "limit cycles",
    "gravity gradient",
    "thermal rotation",
    "steering",
)


@dataclass(frozen=True)
class ThrusterTanks:
    """The tanks that one kind of thrusters draws on, all masses in [kg].

    `attitude` and `docking`, which counts separations too, are estimates; None where the scenario
    has no [thruster_budget]. `burns` is what thrusters flew as burns of their own, `upkeep` what
    kept the orbit up of a ship that waits. `other` is what left the same tanks otherwise: other
    engines, boiling off, transfers; less what came in. `left` is all that is in the tanks at the
    end, or when the element is dropped, `usable` what of it these thrusters can draw.
    """

    ship: str
    element: str
    engine: str
    loaded: float
    settling: float
    attitude: float | None
    docking: float | None
    burns: float
    upkeep: float
    other: float
    left: float
    usable: float


class _ByUse(NamedTuple):
    """What an engine drew for what its own records tell [kg]."""

    settling: float
    burns: float
    upkeep: float


def of(flight: Flight) -> tuple[ThrusterTanks, ...]:
    """Return the tanks of all thrusters of a mission, in stack order."""
    settled, burned = _summed(_settled(flight)), _summed(_burned(flight))
    kept = _summed(_burned(flight, upkeep=True))
    return tuple(
        _tanks(
            flight, (name, key), engine, _ByUse(*(x[name, key] for x in (settled, burned, kept)))
        )
        for name in flight.scenario.order
        for key, engine in flight.scenario.elements[name].engines.items()
        if engine.purpose != "main"
    )


def _tanks(flight: Flight, key: Key, engine: Engine, drawn: _ByUse) -> ThrusterTanks:
    name = key[0]
    end = last_flight(flight, name).end
    loaded, left = (_level(x.ledger, name, engine) for x in (flight.start, end))
    attitude, docking = _beside_burns(end, key)
    known = sum(drawn) + (attitude or 0.0) + (docking or 0.0)
    return ThrusterTanks(
        ship=owner(flight.scenario, name),
        element=name,
        engine=key[1],
        loaded=loaded,
        settling=drawn.settling,
        attitude=attitude,
        docking=docking,
        burns=drawn.burns,
        upkeep=drawn.upkeep,
        other=loaded - left - known,
        left=left,
        usable=end.ledger.usable(name, engine),
    )


def _level(ledger: Ledger, element: str, engine: Engine) -> float:
    """Return all that is in the tanks that an engine draws on [kg]."""
    return sum(ledger.levels[engine.crossfeed or element, tank] for tank in shares(engine))


def _beside_burns(end: State, key: Key) -> tuple[float | None, float | None]:
    """Return what attitude took, and dockings with separations; None where it is not counted."""
    if end.thrusters is None:
        return None, None
    own = [
        (k.item, x.given) for k, x in end.thrusters.drawn.items() if (k.element, k.engine) == key
    ]
    attitude = sum((kg for item, kg in own if item in ATTITUDE), 0.0)
    return attitude, sum((kg for item, kg in own if item not in ATTITUDE), 0.0)


def _summed(found: Iterator[tuple[Key, float]]) -> Mapping[Key, float]:
    total: defaultdict[Key, float] = defaultdict(float)
    for key, mass in found:
        total[key] += mass
    return total


def _burned(flight: Flight, *, upkeep: bool = False) -> Iterator[tuple[Key, float]]:
    """Yield what burns took: those of orbit upkeep, or all others."""
    for burn in flight.every_burn:
        if (burn.leg == "orbit upkeep") == upkeep:
            yield (burn.element, burn.engine), burn.propellant
    for name, earlier in flight.left.items():
        yield from _of(flight, name, _burned(earlier, upkeep=upkeep))


def _of(
    flight: Flight, name: str, found: Iterator[tuple[Key, float]]
) -> Iterator[tuple[Key, float]]:
    """Yield what concerns the elements of a ship, in the mission that left it."""
    return ((key, mass) for key, mass in found if key[0] in flight.scenario.ships[name].stack)


def _settled(flight: Flight) -> Iterator[tuple[Key, float]]:
    """Yield what settled propellant, before starts and while it was transferred."""
    for name, earlier in flight.left.items():
        yield from _of(flight, name, _settled(earlier))
    for _, ship, _ in flight.ships:
        for each in ship.passages:
            if each.burn is not None and each.burn.settling is not None:
                done = each.burn.settling
                yield (done.element, done.engine), done.propellant
            elif each.event.do == "transfer propellant":
                yield from _settled_meanwhile(each)


def _settled_meanwhile(passage: Passage) -> Iterator[tuple[Key, float]]:
    """Yield what thrusters drew to settle what was transferred: what nothing else took."""
    before, after = passage.before, passage.after
    for key, starts in after.ledger.starts.items():
        if starts > before.ledger.starts.get(key, 0):
            engine = after.scenario.elements[key[0]].engines[key[1]]
            gone = _level(before.ledger, key[0], engine) - _level(after.ledger, key[0], engine)
            beside = (sum(x or 0.0 for x in _beside_burns(at, key)) for at in (after, before))
            yield (
                key,
                gone - _otherwise(before, after, key[0], engine) - next(beside) + next(beside),
            )


def _otherwise(before: State, after: State, element: str, engine: Engine) -> float:
    """Return what boiled off of an engine's tanks or was transferred [kg] between two states."""

    def gone(ledger: Ledger, key: Key) -> float:
        lost = ledger.boiled.get(key, 0.0) + ledger.spilt.get(key, 0.0)
        return lost - ledger.received.get(key, 0.0)

    keys = [(engine.crossfeed or element, tank) for tank in shares(engine)]
    return sum(gone(after.ledger, key) - gone(before.ledger, key) for key in keys)
