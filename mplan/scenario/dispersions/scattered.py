"""What of a scenario scatters, one by one, and what is wrong with what is stated for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import raw
from mplan.scenario.dispersions.spread import Spread, below_zero
from mplan.scenario.dispersions.tables import DispersionTable
from mplan.scenario.elements import Element, Tank
from mplan.scenario.engines import Engine
from mplan.scenario.events import DockEvent, Event, StayEvent, has_burn
from mplan.scenario.reading.lines import Path
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import hint, plain, shown

if TYPE_CHECKING:
    from mplan.scenario.scenario import Scenario

RENDEZVOUS = {"rendezvous": "rendezvous", "earth_rendezvous": "Earth-orbit rendezvous"}


class Scattered(NamedTuple):
    """One thing that scatters: a `quantity` of something, and its `planned` value, SI.

    `path` says where it stands: element; element, "tanks" or "engines", and name; a table; or
    "events" and the index. `key` is the path of what is stated for it in the file.
    """

    quantity: str
    of: str
    path: tuple[str | int, ...]
    spread: Spread
    planned: float
    key: Path

    @property
    def title(self) -> str:
        """What scatters, in words: `dry mass of core stage`."""
        return f"{self.quantity} of {self.of}"


def of_elements(scenario: Scenario) -> Iterator[Scattered]:
    """Yield what scatters of elements, from the pad up; of those that others left, nothing."""
    if scenario.dispersions is not None:
        for name in built(scenario):
            yield from _of_element(scenario, scenario.dispersions, name)


def built(scenario: Scenario) -> list[str]:
    """Return the elements of all ships that are launched."""
    left = {x for ship in scenario.ships.values() if ship.left_by for x in ship.stack}
    known = scenario.elements  # a file may name others in a stack, which is told elsewhere
    return [name for name in scenario.order if name in known and name not in left]


def of_course(scenario: Scenario, table: DispersionTable, ship: str = "") -> Iterator[Scattered]:
    """Yield the times that scatter on the way of one ship, whose view the scenario is."""
    said = f"{plain(ship)}: " if ship else ""
    events = scenario.events
    if table.hover_time and has_burn(events, "powered descent"):
        planned = scenario.descent.hover_time
        yield _time("hover time", f"{said}descent", ("descent",), table, "hover_time", planned)
    for key, leg in RENDEZVOUS.items():
        if table.docking_time and has_burn(events, leg):
            planned = getattr(scenario, key).docking_time
            yield _time("docking time", f"{said}{leg}", (key,), table, "docking_time", planned)
    for index, event in enumerate(events):
        path = ("events", index)
        if isinstance(event, DockEvent) and table.docking_time:
            of = f"{said}{event.title}"
            yield _time("duration", of, path, table, "docking_time", event.duration)
        elif isinstance(event, StayEvent) and table.stay_time:
            planned = lasting(scenario, event)
            yield _time("duration", f"{said}{event.title}", path, table, "stay_time", planned)


def lasting(scenario: Scenario, stay: Event) -> float:
    """Return how long a stay lasts as planned [s]."""
    mission = scenario.mission
    own = stay.duration if isinstance(stay, StayEvent) else None
    return own or mission.surface_stay or mission.lunar_orbit_stay or 0.0


def findings(data: raw.Data, scenario: Scenario) -> Iterator[KeyProblem]:
    """Yield names that are unknown, and what scatters to nothing or less."""
    if scenario.dispersions is None:
        return
    yield from _unknown(scenario, scenario.dispersions)
    told: set[Path] = set()
    for each in (*of_elements(scenario), *of_course(scenario, scenario.dispersions)):
        if each.spread.least(each.planned) <= 0.0 and each.key not in told and each.planned > 0.0:
            told.add(each.key)
            found = shown(raw.value(data, ".".join(map(str, each.key))))
            text = f"found {found}{below_zero(each.spread)} of the {each.title}"
            yield KeyProblem(each.key, f"{text}; accepted: less, or a table of bounds above that")


def _of_element(scenario: Scenario, table: DispersionTable, name: str) -> Iterator[Scattered]:
    element, own = scenario.elements[name], table.elements.get(name)
    at = ("dispersions", "elements", name)
    spread, key = _stated(table, "dry_mass", own, at)
    if spread:
        yield Scattered("dry mass", plain(name), (name,), spread, element.dry_mass, key)
    for tank, holds in element.tanks.items():
        for quantity, planned in _of_tank(holds, scenario.margins.residuals):
            mine = own.tanks.get(tank) if own else None
            spread, key = _stated(table, quantity, mine, (*at, "tanks", tank))
            if spread and planned > 0.0:
                of = f"{plain(tank)} in {plain(name)}"
                path = (name, "tanks", tank)
                yield Scattered(plain(quantity), of, path, spread, planned, key)
    for engine, motor in element.engines.items():
        for quantity, planned in _of_engine(motor):
            mine_too = own.engines.get(engine) if own else None
            spread, key = _stated(table, quantity, mine_too, (*at, "engines", engine))
            if spread:
                of, path = _called(element, name, engine), (name, "engines", engine)
                said = "specific impulse" if quantity == "isp" else plain(quantity)
                yield Scattered(said, of, path, spread, planned, key)


def _of_tank(tank: Tank, share: float) -> Iterator[tuple[str, float]]:
    yield "load", tank.load
    yield "residuals", tank.full * share if tank.residuals is None else tank.residuals
    fluid = PROPELLANTS[tank.propellant]
    if fluid.cryogenic:
        usual = fluid.boil_off if tank.boil_off is None else tank.boil_off
        yield "boil_off", usual if tank.heat_input is None else tank.heat_input


def _of_engine(engine: Engine) -> Iterator[tuple[str, float]]:
    yield "thrust", engine.thrust_vacuum
    yield "isp", engine.isp_vacuum
    if engine.mixture_ratio is not None:
        yield "mixture_ratio", engine.mixture_ratio


def _called(element: Element, name: str, engine: str) -> str:
    one = len(element.engines) == 1
    return plain(name) if one else f"{plain(engine)} engine of {plain(name)}"


def _stated(
    table: DispersionTable, quantity: str, own: object, path: Path
) -> tuple[Spread | None, Path]:
    """Return the spread of a quantity and the key that states it: its own, else that of all."""
    mine = getattr(own, quantity, None)
    spread = mine if mine is not None else getattr(table, quantity)
    key = (*path, quantity) if mine is not None else ("dispersions", quantity)
    return (None if spread is None or spread.none else spread), key


def _time(
    quantity: str,
    of: str,
    path: tuple[str | int, ...],
    table: DispersionTable,
    key: str,
    planned: float,
) -> Scattered:
    return Scattered(quantity, of, path, getattr(table, key), planned, ("dispersions", key))


def _unknown(scenario: Scenario, table: DispersionTable) -> Iterator[KeyProblem]:
    known = built(scenario)
    for name, own in table.elements.items():
        at = ("dispersions", "elements", name)
        if name not in known:
            yield KeyProblem(at, f"unknown element {shown(name)}; {hint(name, known)}")
            continue
        element = scenario.elements[name]
        for tank in own.tanks:
            if tank not in element.tanks:
                text = f"unknown tank {shown(tank)}; {hint(tank, element.tanks)}"
                yield KeyProblem((*at, "tanks", tank), text)
        for engine in own.engines:
            if engine not in element.engines:
                text = f"unknown engine {shown(engine)}; {hint(engine, element.engines)}"
                yield KeyProblem((*at, "engines", engine), text)
