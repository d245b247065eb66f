"""The settings of an axis: values of a key, engines of the catalogue, elements from files."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path as FilePath
from typing import Any

from mplan.scenario import Scenario, ScenarioError, catalogue
from mplan.scenario.catalogue import Listed
from mplan.scenario.reading.files import TomlFile, read_element
from mplan.scenario.reading.lines import Path
from mplan.scenario.wording import hint, plain, shown
from mplan.studies import engines
from mplan.studies.engines import Mount
from mplan.studies.trades.models import AxisTable
from mplan.studies.trades.study import AS_PLANNED, MOST, Axis, Setting, Swap
from mplan.studies.trades.values import Refused, Value, listed, ranged
from mplan.vehicle import swap

SORTS = ("key", "engine_of", "element")
OF_A_KEY = ("values", "start", "to", "step", "count")
BELONG = {  # which keys go with which sort of axis
    "key": OF_A_KEY,
    "engine_of": ("engine", "engines", "counts"),
    "element": ("files",),
}


def of(table: AxisTable, scenario: Scenario, file: TomlFile, path: Path) -> Axis:
    """Return an axis of a study file; raise `Refused` or `ScenarioError` with what is wrong."""
    stated = [each for each in SORTS if getattr(table, each) is not None]
    if len(stated) != 1:
        found = " and ".join(stated) or "none of them"
        raise Refused("", f"found {found}; accepted: one of key, engine_of, element")
    _refuse_foreign(table, stated[0])
    if table.key is not None:
        axis = of_values(table.key, table.values) if table.values else _of_range(table)
        refuse_unknown(scenario, table.key, (each.changes for each in axis.settings))
        return axis
    if table.engine_of is not None:
        return _of_engines(table, scenario, table.engine_of)
    files = {(*path, "files", place): each for place, each in enumerate(table.files or ())}
    return of_element(table.element or "", files, scenario, file)


def of_values(key: str, values: tuple[Any, ...]) -> Axis:
    """Return an axis of listed values; `Refused` where their units differ."""
    unit, found = listed(values)
    return _of_key(key, unit, found)


def refuse_unknown(scenario: Scenario, key: str, tried: Iterable[Mapping[str, Any]]) -> None:
    """Refuse a key with which no change of the scenario will do, those `tried` that have it.

    What will not do with some values only is a result: those cases keep their reason.
    """
    first: ScenarioError | None = None
    for each in tried:
        if key not in each:
            continue
        try:
            scenario.change(each)
            return
        except ScenarioError as problem:
            first = first or problem
    if first is not None:
        told = first.problems[0]
        where = "" if told.key == key else f"{told.key}: "
        raise Refused("key", f"{key}: {where}{told.text}")


def _refuse_foreign(table: AxisTable, sort: str) -> None:
    """Refuse keys of another sort of axis, and values stated twice or not at all."""
    stated = {each for keys in BELONG.values() for each in keys if getattr(table, each) is not None}
    foreign = sorted(stated - {*BELONG[sort]})
    if foreign:
        raise Refused(_in_file(foreign[0]), f"does not go with {sort}")
    if sort == "key" and (table.values is None) == (table.start is None):
        raise Refused("", "no range; accepted: `values`, or `from` with `to` and `step` or `count`")
    if table.values is not None and len(stated) > 1:
        raise Refused(_in_file(sorted(stated - {"values"})[0]), "does not go with values")
    if table.start is not None and table.to is None:
        raise Refused("to", "is missing: `from` is stated")
    if table.step is not None and table.count is not None:
        raise Refused("count", "does not go with step; accepted: one of them")


def _in_file(name: str) -> str:
    return "from" if name == "start" else name


def _of_range(table: AxisTable) -> Axis:
    unit, found = ranged(table.start, table.to, table.step, table.count)
    return _of_key(table.key or "", unit, found)


def _of_key(key: str, unit: str, values: list[Value]) -> Axis:
    if len(values) > MOST:
        raise Refused("values", f"{len(values):,} values; accepted: from 1 to {MOST:,}")
    return Axis(key, unit, tuple(Setting(x.shown, {key: x.given}) for x in values))


def _of_engines(table: AxisTable, scenario: Scenario, element: str) -> Axis:
    """Return an axis of engines at one mount."""
    mount = _mount(table, scenario, element)
    known = catalogue.read(catalogue.folder(scenario, *mount))
    found: list[Setting] = []
    if table.engines is None:
        known = tuple(x for x in known if swap.fits(scenario, *mount, x.engine))
        found.append(AS_PLANNED)
    else:
        known = tuple(_listed(name, i, known) for i, name in enumerate(table.engines))
        for i, each in enumerate(known):
            _refuse_unfit(scenario, mount, each, i)
    now = scenario.elements[mount.element].engines[mount.engine]
    for each in known:
        counts = _counts(table, scenario, mount, each)
        there = (now.label, now.count) if found else None  # listed as planned already
        found += [_swap(mount, each, n) for n in counts if (each.name, n) != there]
    if not found:
        raise Refused("counts", "no count of these engines gives a like thrust; state `counts`")
    return Axis(f"engine of {plain(element)}", "", tuple(found))


def _mount(table: AxisTable, scenario: Scenario, element: str) -> Mount:
    try:
        there = engines.mounts(scenario, element)
    except ScenarioError as problem:
        raise Refused("engine_of", problem.problems[0].text) from None
    names = [each.engine for each in there]
    if table.engine is None and len(there) > 1:
        raise Refused("engine", f"is missing: {plain(element)} has {', '.join(names)}")
    if table.engine is not None and table.engine not in names:
        raise Refused("engine", f"found {shown(table.engine)}; {hint(table.engine, names)}")
    return next(x for x in there if table.engine in (None, x.engine))


def _listed(name: str, place: int, known: tuple[Listed, ...]) -> Listed:
    for each in known:
        if name in (each.name, FilePath(each.file).stem):
            return each
    stems = [FilePath(each.file).stem for each in known]
    raise Refused(f"engines.{place}", f"found {shown(name)}, no such engine; {hint(name, stems)}")


def _refuse_unfit(scenario: Scenario, mount: Mount, each: Listed, place: int) -> None:
    if not swap.fits(scenario, *mount, each.engine):
        text = f"{each.name} does not fit {plain(mount.element)}: other propellants or purpose, "
        raise Refused(f"engines.{place}", f"{text}or no thrust at sea level stated for a lift-off")


def _counts(table: AxisTable, scenario: Scenario, mount: Mount, each: Listed) -> Iterable[int]:
    if table.counts is not None:
        return table.counts
    return swap.counts(scenario.elements[mount.element].engines[mount.engine], each.engine)


def _swap(mount: Mount, each: Listed, count: int) -> Setting:
    return Setting(f"{count} x {each.name}", {}, Swap(mount, each, count))


def of_element(name: str, files: Mapping[Path, str], scenario: Scenario, file: TomlFile) -> Axis:
    """Return an axis of one element, taken from each of some `files`, by where they are stated.

    Raises `Refused` for an element that is none, `ScenarioError` with what is wrong with a file.
    """
    if name not in scenario.elements:
        raise Refused("element", f"found {shown(name)}; {hint(name, scenario.elements)}")
    if not files:
        raise Refused("files", "is missing; accepted: element files, as seen from this one")
    found = tuple(
        Setting(FilePath(each).stem, {f"elements.{name}": read_element(file, path, each)})
        for path, each in files.items()
    )
    axis = Axis(plain(name), "", found)
    refuse_unknown(scenario, f"elements.{name}", (each.changes for each in found))
    return axis
