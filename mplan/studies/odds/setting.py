"""What every mission of a plan starts from, and how what is drawn becomes a scenario and errors."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import atan2, hypot
from typing import Any

from mplan.flight import walk
from mplan.flight.erring.flown_errors import BurnError, FlownErrors
from mplan.flight.record import Flight
from mplan.flight.state import Departing
from mplan.physics.arcs.homeward import Homeward
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import Dispersions
from mplan.physics.climb.weather import DESIGN_WIND
from mplan.physics.propellants import PROPELLANTS
from mplan.physics.rendezvous.launch_passes import LaunchPass
from mplan.plan import Plan
from mplan.scenario import Element, Engine, Scenario, Tank
from mplan.scenario.dispersions.scattered import lasting
from mplan.scenario.dispersions.spread import Spread
from mplan.scenario.events import Event
from mplan.studies.odds import corrections, inputs
from mplan.studies.odds.corrections import Chain
from mplan.studies.odds.inputs import DrawnNumber

STRONGEST = max(speed for _, speed in DESIGN_WIND)  # m/s
Departures = Mapping[tuple[Any, ...], tuple[Spread, float]]  # by where it stands


@dataclass(frozen=True)
class PlannedShip:
    """One ship as planned: its climb, its launch and way to the Moon, its way home, corrections."""

    climb: LaunchClimb | None
    departing: Departing | None
    second: LaunchPass | None
    homeward: Homeward | None
    chains: tuple[Chain, ...]


@dataclass(frozen=True)
class MissionSetting:
    """A plan whose missions are to be drawn: ships by name, "" the main one; what is drawn."""

    scenario: Scenario
    ships: Mapping[str, PlannedShip]
    left: Mapping[str, Flight]
    drawn: tuple[DrawnNumber, ...]

    @cached_property
    def _attitudes(self) -> dict[str, Any]:
        return {name: x.climb.attitudes for name, x in self.ships.items() if x.climb}

    def fly(self, numbers: Sequence[float]) -> Flight:
        """Fly the mission of these numbers. Raises Unflyable."""
        by_kind: dict[tuple[str, str], list[tuple[DrawnNumber, float]]] = {}
        for drawn, number in zip(self.drawn, numbers, strict=True):
            by_kind.setdefault((drawn.kind, drawn.ship), []).append((drawn, float(number)))
        climbs = {name: x.climb for name, x in self.ships.items() if x.climb}
        return walk.fly(
            self._scenario(by_kind),
            climbs.pop("", None),
            climbs,
            self.left,
            {name: self._errors(name, by_kind) for name in self.ships if name in self._attitudes},
        )

    def _scenario(self, by_kind: Mapping[tuple[str, str], Any]) -> Scenario:
        parts = _departures(by_kind.get(("element", ""), ()))
        elements = {
            name: element_as_drawn(element, name, parts, self.scenario.margins.residuals)
            for name, element in self.scenario.elements.items()
        }

        def tables(of: Scenario) -> dict[str, Any]:
            course = _departures(by_kind.get(("course", of.ship), ()))
            own = {name: elements[name] for name in of.elements}
            return {"elements": own, **_unreserved(of), **_course(of, course)}

        return self.scenario.with_tables(tables)

    def _errors(self, ship: str, by_kind: Mapping[tuple[str, str], Any]) -> FlownErrors:
        planned = self.ships[ship]
        burns: dict[int, BurnError] = {}
        for drawn, number in by_kind.get(("burn", ship), ()):
            index, key = drawn.path
            burns[index] = burns.get(index, BurnError())._replace(**{key: number})
        for number, chain in enumerate(planned.chains):
            own = [x for each, x in by_kind.get(("correction", ship), ()) if each.path[0] == number]
            beyond, sizes = chain.sizes(own)
            if chain.burn is not None:
                burns[chain.burn] = BurnError(beyond=beyond)
            burns |= {i: BurnError(correction=x) for i, x in zip(chain.events, sizes, strict=True)}
        met = {drawn.path[0]: x for drawn, x in by_kind.get(("climb", ship), ())}
        return FlownErrors(
            self._attitudes[ship],
            _air(met),
            planned.departing,
            planned.second,
            planned.homeward,
            burns,
        )


def of(plan: Plan) -> MissionSetting:
    """Return what the missions of a plan start from; NotStated without [dispersions]."""
    flight = plan.flight
    ships = {name: _ship(each) for name, each in (*flight.others.items(), ("", flight))}
    return MissionSetting(plan.scenario, ships, flight.left, inputs.of(plan))


def _ship(flight: Flight) -> PlannedShip:
    dated = next((x.after for x in flight.passages if x.after.dated), None)
    departing = dated.departing if dated else None
    second = dated.second if dated else None
    home = flight.end.homeward
    return PlannedShip(flight.climb, departing, second, home, corrections.of(flight))


def _air(met: Mapping[Any, float]) -> Dispersions:
    east, north = met.get("east", 0.0), met.get("north", 0.0)
    strength, towards = hypot(east, north) / STRONGEST, atan2(east, north)
    return Dispersions(air=1.0 + met.get("air", 0.0), wind=strength, wind_to=towards)


def _departures(drawn: Sequence[tuple[DrawnNumber, float]]) -> Departures:
    return {each.path: (each.spread, number) for each, number in drawn}


def _of(departures: Departures, planned: float, *path: str | int) -> float:
    """Return a value as drawn: the `planned` one where nothing of it is."""
    found = departures.get(path)
    if found is None:
        return planned
    spread, number = found
    return planned * (1.0 + number) if spread.relative else planned + number


def element_as_drawn(
    element: Element, name: str, departures: Departures, residuals: float
) -> Element:
    """Return an element that departs from its design; `residuals` is the share by policy."""
    tanks = {
        key: _tank(tank, departures, (name, "tanks", key), residuals)
        for key, tank in element.tanks.items()
    }
    engines = {
        key: _engine(engine, departures, (name, "engines", key))
        for key, engine in element.engines.items()
    }
    dry = _of(departures, element.dry_mass, name, "dry mass")
    return element.model_copy(update={"dry_mass": dry, "tanks": tanks, "engines": engines})


def _tank(tank: Tank, departures: Departures, path: tuple[str, ...], share: float) -> Tank:
    """Return a tank as drawn, as large as it was planned to be."""
    stays = tank.full * share if tank.residuals is None else tank.residuals
    update = {
        "load": _of(departures, tank.load, *path, "load"),
        "capacity": tank.full,
        "residuals": _of(departures, stays, *path, "residuals"),
    }
    if (*path, "boil off") in departures:
        usual = PROPELLANTS[tank.propellant].boil_off if tank.boil_off is None else tank.boil_off
        key, planned = ("heat_input", tank.heat_input) if tank.heat_input else ("boil_off", usual)
        update[key] = _of(departures, planned or 0.0, *path, "boil off")
    return tank.model_copy(update=update)


def _engine(engine: Engine, departures: Departures, path: tuple[str, ...]) -> Engine:
    thrust = _of(departures, engine.thrust_vacuum, *path, "thrust") / engine.thrust_vacuum
    isp = _of(departures, engine.isp_vacuum, *path, "specific impulse") / engine.isp_vacuum
    update = _scaled(engine, thrust, ("thrust_vacuum", "thrust_sea_level"))
    update |= _scaled(engine, isp, ("isp_vacuum", "isp_sea_level", "pulse_isp"))
    if engine.mixture_ratio is not None:
        ratio = _of(departures, engine.mixture_ratio, *path, "mixture ratio")
        update["mixture_ratio"] = ratio
    return engine.model_copy(update=update)


def _scaled(engine: Engine, share: float, keys: tuple[str, ...]) -> dict[str, float]:
    values = {key: getattr(engine, key) for key in keys}
    return {key: value * share for key, value in values.items() if value is not None}


def _unreserved(scenario: Scenario) -> dict[str, Any]:
    """Return the tables in which nothing is kept back: it is there for what is drawn."""
    margins = {"burn": 0.0, "burns": {}, "flight_performance_reserve": 0.0}
    tables: dict[str, Any] = {"margins": scenario.margins.model_copy(update=margins)}
    budget = scenario.thruster_budget
    if budget is not None:
        kept = {"reserve": 0.0, "reserves": {}}
        tables["thruster_budget"] = budget.model_copy(update=kept)
    return tables


def _course(scenario: Scenario, departures: Departures) -> dict[str, Any]:
    """Return the tables in which hover, dockings and stays take as long as is drawn."""
    tables: dict[str, Any] = {}
    if ("descent", "hover time") in departures:
        hover = _of(departures, scenario.descent.hover_time, "descent", "hover time")
        tables["descent"] = scenario.descent.model_copy(update={"hover_time": hover})
    for key in ("rendezvous", "earth_rendezvous"):
        if (key, "docking time") in departures:
            now = getattr(scenario, key)
            time = _of(departures, now.docking_time, key, "docking time")
            tables[key] = now.model_copy(update={"docking_time": time})
    if any(path[0] == "events" for path in departures):
        tables["events"] = tuple(_events(scenario, departures))
    return tables


def _events(scenario: Scenario, departures: Departures) -> Iterator[Event]:
    for index, event in enumerate(scenario.events):
        if ("events", index, "duration") in departures:
            planned = event.duration if event.do == "dock" else lasting(scenario, event)
            lasts = _of(departures, planned, "events", index, "duration")
            yield event.model_copy(update={"duration": lasts})
        else:
            yield event
