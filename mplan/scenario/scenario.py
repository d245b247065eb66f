"""The scenario as a whole: checked when it is made, never changed afterwards."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterable, Mapping
from copy import deepcopy
from functools import cached_property
from pathlib import Path as FilePath
from types import MappingProxyType
from typing import Annotated, Any, Literal

from pydantic import Field, PrivateAttr, ValidationError

from mplan import shipped
from mplan.scenario import (
    building,
    changes,
    former,
    profiles,
    raw,
    sense,
    validation,
)
from mplan.scenario.changing import cross_checks, shared
from mplan.scenario.climb import ClimbSettings
from mplan.scenario.control import ControlCriteria
from mplan.scenario.dispersions import scattered
from mplan.scenario.dispersions.tables import DispersionTable
from mplan.scenario.elements import Element
from mplan.scenario.escape import AbortLimits
from mplan.scenario.events import Event
from mplan.scenario.landing import LunarAscentSettings, PoweredDescentSettings
from mplan.scenario.launch_site import LaunchSite, StationSite
from mplan.scenario.living.contingency import Contingency
from mplan.scenario.living.crew_day import CrewDay, SurfaceWalks
from mplan.scenario.living.radiation import RadiationLimit
from mplan.scenario.models import (
    Allowances,
    Dates,
    ErrorBudget,
    LandingSite,
    Margins,
    Mission,
    Orbits,
    Recovery,
)
from mplan.scenario.problems import Problem, ScenarioError
from mplan.scenario.radio.relay import RelayCraft
from mplan.scenario.reading import text_file
from mplan.scenario.reading.files import Place, ScenarioFiles, read_scenario
from mplan.scenario.reading.lines import Path
from mplan.scenario.rendezvous import RendezvousSettings
from mplan.scenario.severity import CheckName, Judged
from mplan.scenario.ships import left, one_list, views
from mplan.scenario.ships.ship import OtherShip
from mplan.scenario.ships.upkeep import OrbitUpkeep
from mplan.scenario.stated import stated
from mplan.scenario.table import Key, TomlTable
from mplan.scenario.thruster_budget import ThrusterBudget
from mplan.scenario.validation import KeyProblem


class Scenario(TomlTable):
    """A mission as its planner means it, SI throughout; made by `load` and by `change`."""

    format: Literal["mplan-scenario/2"] = Field(description="Version of this file format.")
    stack: Annotated[tuple[Key, ...], Field(min_length=1)] = Field(
        description="Elements from the pad up.", examples=[["first_stage", "crew_module"]]
    )
    mission: Mission = Field(description="Who goes, what for and for how long.")
    landing_site: LandingSite | None = Field(None, description="Where on the Moon.")
    recovery: Recovery | None = Field(
        None, description="Where to come down; the return's time and plane give way to it."
    )
    launch_site: LaunchSite = Field(description="Where on Earth, and which way.")
    dates: Dates = Field(description="When, and how fast across.")
    climb: ClimbSettings = Field(
        ClimbSettings(), description="How the stack climbs to its parking orbit."
    )
    orbits: Orbits = Field(description="Orbits and approaches flown.")
    descent: PoweredDescentSettings = Field(
        default_factory=PoweredDescentSettings, description="How the lander comes down."
    )
    lunar_ascent: LunarAscentSettings = Field(
        default_factory=LunarAscentSettings, description="How the lander goes up again."
    )
    rendezvous: RendezvousSettings = Field(
        RendezvousSettings(), description="How the ascent stage meets the ship again."
    )
    earth_rendezvous: RendezvousSettings = Field(
        RendezvousSettings(), description="How a ship meets another one in Earth orbit."
    )
    orbit_upkeep: OrbitUpkeep | None = Field(
        None,
        description="How its lunar orbit is kept while it waits there to be met; default: not at "
        "all.",
    )
    margins: Margins = Field(description="Margins and reserves.")
    allowances: Allowances = Field(Allowances(), description="Delta-v that is stated, not flown.")
    errors: ErrorBudget | None = Field(
        None, description="How far burns miss; with them, corrections are worked out."
    )
    dispersions: DispersionTable | None = Field(
        None, description="How what the mission is made of scatters; with it, odds are told."
    )
    control: ControlCriteria = Field(
        ControlCriteria(), description="What control authority is required for."
    )
    thruster_budget: ThrusterBudget | None = Field(
        None,
        description="What thrusters draw beside burns, phase by phase; default: not counted.",
    )
    crew_day: CrewDay = Field(
        default_factory=CrewDay, description="How a person spends the day, and what it asks for."
    )
    surface_walks: SurfaceWalks | None = Field(None, description="Walks on the Moon, if any.")
    radiation: RadiationLimit | None = Field(
        None, description="Limit of the crew's dose; without it the dose is told, not judged."
    )
    contingency: Contingency | None = Field(
        None, description="What supplies should last for beyond the plan."
    )
    aborts: AbortLimits = Field(
        AbortLimits(), description="Limits of an abort without the escape tower."
    )
    stations: dict[Key, StationSite] = Field(
        {},
        description="Ground stations that hold contact, by name; without any, when a burn or an "
        "event is seen is told for Earth's centre alone.",
    )
    relays: dict[Key, RelayCraft] = Field(
        {},
        description="Craft about the Moon that hand on what they receive to the stations, by name; "
        "default: none.",
    )
    severity: dict[CheckName, Judged] = Field(
        {},
        description="Checks whose findings are graver or less grave for this mission, by name; of "
        "one check, by the event or element that a finding is about. It is said beside them.",
        examples=[{"light": "for information", "impact": {"core_stage": "for information"}}],
    )
    elements: dict[Key, Element] = Field(description="The pieces of the stack, by name.")
    events: tuple[Event, ...] = Field(
        (), description="What will happen, in order; default: the profile's usual course."
    )
    ships: dict[Key, OtherShip] = Field(
        {},
        description="Ships launched on their own, before the one that this file is about; its "
        "events meet them by naming their elements.",
    )

    _files: ScenarioFiles = PrivateAttr()
    _data: dict[str, Any] = PrivateAttr()
    _views: dict[str, Scenario] = PrivateAttr(default_factory=dict)
    _left: dict[str, Scenario] = PrivateAttr(default_factory=dict)
    _ship: str = PrivateAttr("")  # of a view
    _main: Scenario | None = PrivateAttr(None)
    _written: Scenario | None = PrivateAttr(None)  # of one with tables in place of its own

    @property
    def views(self) -> Mapping[str, Scenario]:
        """The mission as each ship that is launched on its own sees it, by the ship's name."""
        return MappingProxyType(self._views)

    @property
    def left(self) -> Mapping[str, Scenario]:
        """The earlier missions that left ships in lunar orbit, by the ship's name."""
        return MappingProxyType(self._left)

    @property
    def ship(self) -> str:
        """The name of the ship whose view this is; "" for the mission itself."""
        return self._ship

    @cached_property
    def order(self) -> tuple[str, ...]:
        """Every element: those of ships to be met, then those of the stack, from the pad up."""
        met = [name for ship in self.ships.values() for name in ship.stack]
        met = met or [name for name in self.elements if name not in self.stack]
        return (*met, *self.stack)

    @cached_property
    def shares_supplies(self) -> bool:
        """Whether any element shares what it carries with people in another one."""
        return any(x.supplies and x.supplies.shared for x in self.elements.values())

    @property
    def main(self) -> Scenario | None:
        """Of a view: the mission itself, as its main ship sees it."""
        return self._main

    @property
    def then(self) -> tuple[Event, ...]:
        """Of a view: the events of the main ship, which may meet this one and go on with it."""
        return self._main.events if self._main else ()

    @property
    def source(self) -> FilePath:
        """The file this scenario was read from."""
        return FilePath(self._files.main.name)

    @property
    def from_kit(self) -> tuple[FilePath, ...]:
        """The hardware files taken from the kit, because none lies where the scenario says."""
        kit = shipped.folder("scenarios").resolve()
        if kit in self.source.resolve().parents:
            return ()
        files = (FilePath(each.name) for each in self._files.taken_in.values())
        return tuple(dict.fromkeys(x for x in files if kit in x.resolve().parents))

    @property
    def site(self) -> LandingSite:
        """Where the mission lands; raises NotStated for a scenario without a landing site."""
        return stated(self.landing_site, "[landing_site]")

    @property
    def hash(self) -> str:
        """12 hexadecimal digits of what is written, comments and files of origin apart."""
        return changes.digest(self._data)

    @property
    def changes(self) -> tuple[changes.Change, ...]:
        """What differs from the file, key by key."""
        return tuple(changes.differences(self._files.data, self._data))

    def change(self, key: str | Mapping[str, Any], value: object = None) -> Scenario:
        """Return a new scenario with other values, given as a file would give them.

        `key` is dotted ("elements.first_stage.tanks.oxygen.load", "events.3.duration"), or a
        mapping of such keys to values. None takes an optional key out. Raises `ScenarioError`
        where the result would not do; this scenario stays as it is.

        Of a view it is a change of the mission, for this ship alone where it can be; what is
        returned is the view of the mission so changed.
        """
        values = changes.asked(key, value)
        if self._main is not None:
            files = self._main._data
            laid = {views.key_in_file(files, self._ship, x): new for x, new in values.items()}
            return self._main.change(laid)._views[self._ship]
        data, touched = self._data, set()
        for each, new in values.items():
            data, path = changes.put(data, each, new)
            touched.add(path)
            if new is None and (unknown := validation.unknown_key(Scenario, path)):
                raise ScenarioError(_placed([unknown], self._files, touched))
        return _made(self._files, data, touched, self._left, self._written or self)

    def with_tables(self, tables: Callable[[Scenario], Mapping[str, Any]]) -> Scenario:
        """Return the scenario with tables in place of its own, as `tables` makes them of it.

        So are the views of its other ships. They are models already: nothing is read or checked,
        and neither `hash` nor `changes` tells of them.
        """
        made = self.model_copy(update=tables(self))
        views = {name: x.model_copy(update=tables(x)) for name, x in self._views.items()}
        for view in views.values():
            view._main = made
        made._views, made._written = views, self._written or self
        return made

    def events_as_toml(self, *, together: bool = False) -> str:
        """Return what will happen, to all ships, as the tables of a scenario file.

        A list for each ship, or `together` in one, in which events of other ships name theirs.
        """
        own = profiles.as_toml(self.events_as_written())
        theirs = {name: view.events_as_written() for name, view in self.views.items()}
        if together:
            named = ([{**x, "ship": name} for x in events] for name, events in theirs.items())
            return "\n".join([*map(profiles.as_toml, named), own])
        lists = (
            profiles.as_toml(events).replace("[[events]]", f"[[ships.{name}.events]]")
            for name, events in theirs.items()
        )
        return "\n".join([own, *lists])

    def elements_as_written(self) -> dict[str, dict[str, Any]]:
        """Return the elements as the files state them, by name."""
        return deepcopy(raw.elements(self._data))

    def tables_as_written(self) -> dict[str, Any]:
        """Return all that is stated, as the files and changes state it, in one set of tables.

        Files that this one is based on or takes in are laid under it, and their names left out.
        """
        return deepcopy(changes.without_origins(self._data))

    def events_as_written(self) -> list[dict[str, Any]]:
        """Return what will happen as a file states it, to be edited."""
        return deepcopy(self._data.get("events") or profiles.default_events(self._data))

    def refused(self, path: Path, text: str) -> ScenarioError:
        """Return the error that a flight of this scenario raises for what stands at `path`."""
        key = changes.dotted(self.in_file(path))
        return ScenarioError([Problem(self.where(path), key, text)])

    def where(self, path: Path) -> str:
        """Return the file and line of what stands at `path`, as "file:line"."""
        place = _place(self.in_file(path), self._files, {each.path for each in self.changes})
        return str(place or changes.CHANGED)

    def in_file(self, path: Path) -> Path:
        """Return the path in the file of what stands at a path of this scenario, if of a view."""
        return views.in_file(self._files.data, self._ship, path) if self._ship else path

    def save(self, path: str | os.PathLike[str]) -> Scenario:
        """Write the scenario to `path`, comments and order kept, and return what was written.

        Raises `ScenarioError`, with the file that was there untouched, if the text would not
        read back as this very scenario.
        """
        from mplan.scenario.saving import save  # brings tomlkit, which reading does without

        return save(self, path)


def load(path: str | os.PathLike[str]) -> Scenario:
    """Read a scenario file; raise `ScenarioError` with everything that is wrong with it."""
    return _load(text_file.name_of(path), ())


def _load(path: str, chain: tuple[str, ...]) -> Scenario:
    """Return the scenario of a file that a `chain` of others has led to."""
    files = read_scenario(path)
    return _made(files, files.data, set(), left.read(files, chain, _load))


def _made(
    files: ScenarioFiles,
    data: dict[str, Any],
    touched: set[Path],
    earlier: Mapping[str, Scenario],
    before: Scenario | None = None,
) -> Scenario:
    """Return the scenario of some tables; `before` is the one that they change, if any.

    `touched` are the keys that are not as in the files, `earlier` the missions that left ships.
    """
    then = before._data if before else {}
    if old := list(former.findings(shared.parts(data, then, shared.touched(data, then)))):
        raise ScenarioError([*files.problems, *_placed(old, files, touched)])
    parts = one_list.dealt(data, views.names(data))
    data = parts.data
    scenario, found = _checked(data, files, raw.met(data), before)
    found += [*parts.problems, *one_list.under_a_ship(data), *left.refused(data, touched)]
    if found or files.problems or scenario is None:
        raise ScenarioError([*files.problems, *_placed(found, files, touched)])
    scenario._files, scenario._data = files, data
    scenario._views = _views_of(files, data, touched, scenario, before)
    scenario._left = {x: y for x, y in earlier.items() if x in scenario.ships}
    return scenario


def _checked(
    data: dict[str, Any], files: ScenarioFiles, met: Collection[str], before: Scenario | None
) -> tuple[Scenario | None, list[KeyProblem]]:
    """Return the scenario of some tables, if its fields are right, and all that is wrong.

    `met` are elements that other ships lift; what is as in the scenario `before` is right.
    """
    complete, then = _with_events(data), before._data if before else {}
    touched = shared.touched(data, then)
    if complete.get("events") != _with_events(then).get("events"):
        touched.add("events")
    found: list[KeyProblem] = []
    scenario: Scenario | None = None
    missing = sense.missing(data) | building.missing(data)
    try:
        known = shared.with_models(complete, then, before) if before else complete
        scenario = Scenario.model_validate(known)
    except ValidationError as error:
        found = validation.findings(error, Scenario, missing)
    missing -= validation.misspelt(found, missing)
    found += [KeyProblem(path, validation.missing_text(Scenario, path)) for path in missing]
    found += cross_checks.findings(data, complete, met, touched)
    found = [each for each in found if not _follows_from_unread(each.path, files)]
    found += scattered.findings(data, scenario) if scenario else ()
    if "events" not in data:  # what is wrong with the profile's own events has its cause elsewhere
        found = [each for each in found if each.path[0] != "events"] or found
    return scenario, found


def _views_of(
    files: ScenarioFiles,
    data: dict[str, Any],
    touched: set[Path],
    main: Scenario,
    before: Scenario | None,
) -> dict[str, Scenario]:
    """Return the mission as each of its other ships sees it; ScenarioError with what is wrong."""
    found, wrong, then = {}, [], before._views if before else {}
    for name in views.launched(data):
        view = views.of_ship(data, name)
        ship, problems = _checked(view, files, view["elements"], then.get(name))
        # Tanks are told of with the file, which knows what events of all ships transfer.
        problems = [x for x in problems if x.path[2:3] != ("tanks",)]
        wrong += [x._replace(path=views.in_file(data, name, x.path)) for x in problems]
        if ship is not None:
            ship._files, ship._data, ship._ship, ship._main = files, view, name, main
            found[name] = ship
    if wrong:
        raise ScenarioError(_placed(dict.fromkeys(wrong), files, touched))
    return found


def _with_events(data: dict[str, Any]) -> dict[str, Any]:
    """Return the tables with the profile's events, where the file states none."""
    if "events" in data or not sense.roles_complete(data):
        return data
    return {**data, "events": profiles.default_events(data)}


def _follows_from_unread(path: Path, files: ScenarioFiles) -> bool:
    """Return whether a finding is there only because a file could not be read."""
    inside = any(path[: len(each)] == each for each in files.unread)
    return inside or (path == ("stack",) and any(len(each) == 2 for each in files.unread))


def _placed(found: Iterable[KeyProblem], files: ScenarioFiles, touched: set[Path]) -> list[Problem]:
    """Return the findings in reading order: changed values, the file, the files it takes in."""

    def order(pair: tuple[Place | None, KeyProblem]) -> tuple[bool, bool, str, int]:
        place, _ = pair
        if place is None:
            return (False, False, "", 0)
        return (True, place.file != files.main.name, place.file, place.line)

    pairs = [(_place(each.path, files, touched), each) for each in found]
    return [
        Problem(str(place or changes.CHANGED), changes.dotted(each.path), each.text)
        for place, each in sorted(pairs, key=order)
    ]


def _place(path: Path, files: ScenarioFiles, touched: set[Path]) -> Place | None:
    """Return where a key stands, or None for one that was changed (or lies within a change)."""
    changed = any(path[: len(each)] == each or each[: len(path)] == path for each in touched)
    return None if changed else files.place(path)
