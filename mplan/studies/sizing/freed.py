"""What the planner frees: keys of a scenario with the range that each may take, read and checked.

`KEY=LOW..HIGH` frees a number, `KEY=A|B|C` a choice. Beside the keys of the file there are, of an
element X: `elements.X.load`, all that its main engines burn, in the proportion of today;
`elements.X.length`, which its tanks follow; `elements.X.engine`, another of the catalogue.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass
from math import floor, log10
from typing import Any, Literal

from mplan.scenario import Element, Scenario
from mplan.scenario.quantities import KINDS, parse
from mplan.scenario.wording import hint, nearest, shown
from mplan.studies.sizing import engine_options, ranges, taken
from mplan.studies.sizing.engine_options import Option
from mplan.studies.sizing.ranges import refuse
from mplan.vehicle import geometry, layout

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib


Kind = Literal["value", "load", "tank", "length", "count", "engine", "choice"]
Value = float | int | str | bool
PLAIN = ("value", "choice")  # kinds that are keys of the file and nothing follows
BESIDE = ("load", "engine")  # of an element, beside the keys of its table
GRID = 2e-6  # of a range, that its values are rounded to at most


@dataclass(frozen=True)
class Freed:
    """One freed key: numbers from `low` to `high`, in `unit`, or `options`.

    `now` is what the scenario has, in the same unit (None where it states nothing).
    """

    key: str
    kind: Kind
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    now: Any = None
    whole: int = 0  # step of a whole number; 0 for what varies continuously
    options: tuple[Option, ...] = ()
    element: str = ""
    part: str = ""  # tank or engine of the element

    def __hash__(self) -> int:
        """Return a number that stands for the key: a search frees each once."""
        return hash(self.key)

    @property
    def continuous(self) -> bool:
        """Whether it takes any value of its range."""
        return not (self.whole or self.options)

    @property
    def levels(self) -> tuple[Value, ...]:
        """The values of a whole number, or the names of a choice; () if it is continuous."""
        if self.options:
            return tuple(each.name for each in self.options)
        if not self.whole:
            return ()
        return tuple(range(int(self.low), int(self.high) + 1, self.whole))

    def value(self, share: float) -> float:
        """Return the value at a share of the range, rounded to what a file would state."""
        step = 10.0 ** floor(log10((self.high - self.low) * GRID))
        return min(self.high, max(self.low, round((self.low + share * self.width) / step) * step))

    def share(self, value: float) -> float:
        """Return which share of the range lies below a value, 0 to 1."""
        return min(1.0, max(0.0, (value - self.low) / self.width))

    @property
    def width(self) -> float:
        """The length of the range."""
        return self.high - self.low

    @property
    def ends(self) -> tuple[Value, ...]:
        """The two ends of a range, the names of a choice."""
        return self.levels if self.options else (self.low, self.high)

    @property
    def span(self) -> str:
        """The range or choice in words: from 40 t to 70 t."""
        if self.options:
            return " or ".join(each.name for each in self.options)
        return f"from {self.written(self.low)} to {self.written(self.high)}"

    def stated(self, value: Value) -> Any:  # noqa: ANN401  (any TOML value)
        """Return a value of a key of the file as the file states it."""
        if self.options:
            return next(each.value for each in self.options if each.name == value)
        if self.unit:
            return f"{float(value):.12g} {self.unit}"
        return int(value) if self.whole else float(value)

    def written(self, value: Value) -> str:
        """Return a value as people read it, with its unit."""
        if isinstance(value, str | bool):
            return str(value)
        number = f"{value:,.7g}"
        return f"{number} {self.unit}".strip()


def read(scenario: Scenario, texts: Iterable[str]) -> tuple[Freed, ...]:
    """Return what is freed; ScenarioError for keys and ranges that would not do."""
    found = tuple(_one(scenario, each) for each in texts)
    if not found:
        refuse("", 'nothing is freed; accepted: KEY=LOW..HIGH, like "elements.X.load=40 t..70 t"')
    for index, each in enumerate(found):
        for other in found[:index]:
            if each.key == other.key:
                refuse(each.key, f"freed twice, {other.span} and {each.span}; accepted: once")
            if _overlap(each, other):
                refuse(each.key, f"sets what {other.key} sets; accepted: one of the two")
    taken.refuse_others(scenario, [each for each in found if each.kind in PLAIN])
    return found


def _overlap(one: Freed, other: Freed) -> bool:
    loads = {"load", "length", "tank"}
    if one.element != other.element or not {one.kind, other.kind} <= loads:
        return False
    return one.kind != "tank" or other.kind != "tank"


def _one(scenario: Scenario, given: str) -> Freed:
    key, equals, span = (part.strip() for part in given.partition("="))
    if not key:
        refuse(given, "accepted: KEY=LOW..HIGH or KEY=A|B|C")
    freed = _of_element(scenario, key, span) if key.startswith("elements.") else None
    if freed is None:
        freed = _plain(scenario, key, span)
    if not equals and not freed.options:
        refuse(key, "no range is given; accepted: KEY=LOW..HIGH, with units")
    return freed


def _of_element(scenario: Scenario, key: str, span: str) -> Freed | None:
    """Return what is freed of an element that more follows than the key itself; else None."""
    steps = key.split(".")
    name = steps[1]
    if name not in scenario.elements:
        refuse(key, f"nothing is called {shown(name)}; {hint(name, scenario.elements)}")
    element = scenario.elements[name]
    match steps[2:]:
        case ["load"]:
            loads = layout.main_loads(element)
            if not sum(loads.values()):
                refuse(key, f"{name} has no tanks that main engines draw from")
            return _number(key, "load", "mass", span, sum(loads.values()), name)
        case ["length"] if layout.main_loads(element):
            return _number(key, "length", "length", span, geometry.length(element), name)
        case ["tanks", tank, "load"] if tank in element.tanks:
            return _number(key, "tank", "mass", span, element.tanks[tank].load, name, tank)
        case ["engine"]:
            return _engine(
                scenario, key, span, name, engine_options.only_engine(key, name, scenario)
            )
        case ["engines", engine] if engine in element.engines:
            return _engine(scenario, key, span, name, engine)
        case [other] if other not in Element.model_fields and (close := nearest(other, BESIDE)):
            refuse(key, f'unknown key; did you mean "{close}"?')
        case ["engines", engine, "count"] if engine in element.engines and "|" not in span:
            return _count(key, span, element, name, engine)
    return None


def _count(key: str, span: str, element: Element, name: str, engine: str) -> Freed:
    """Return a freed number of engines, as many on each of the element's bodies."""
    bodies, now = element.bodies, element.engines[engine].count
    low, high = ranges.wholes(key, span)
    low += (now - low) % bodies
    if low < 1 or low > high:
        refuse(key, f"found {shown(span)}; accepted: a range of numbers from {bodies} on")
    return Freed(key, "count", "", low, high, now, whole=bodies, element=name, part=engine)


def _number(
    key: str, kind: Kind, measured: str, span: str, now: float, element: str, part: str = ""
) -> Freed:
    """Return a freed quantity of an element, in the unit of its range's upper end."""
    low, high, unit = ranges.quantities(key, span, KINDS[measured].si, KINDS[measured].name)
    if low <= 0.0:
        refuse(key, f"found {span}; accepted: a range above zero")
    factor = parse(f"1 {unit}", KINDS[measured].si)
    return Freed(
        key, kind, unit, low / factor, high / factor, now / factor, element=element, part=part
    )


def _plain(scenario: Scenario, key: str, span: str) -> Freed:
    """Return any other freed key of the scenario; what stands there now tells what it is."""
    now = _stated(scenario, key)
    if "|" not in span and isinstance(now, str) and not _measured(now):
        refuse(key, f"holds {shown(now)}, no quantity; accepted: a choice, KEY=A|B")
    if "|" in span:
        options = tuple(Option(x.strip(), _toml(x.strip())) for x in span.split("|"))
        return Freed(key, "choice", now=now, options=options)
    first, last = ranges.ends(key, span)
    if first.isdigit() and last.isdigit() and not isinstance(now, float):
        least, most = ranges.wholes(key, span)
        return Freed(key, "value", "", least, most, now, whole=1)
    unit = ranges.unit_of(last)
    if not unit:
        return _bare(key, span, now)
    si = next((kind for kind in KINDS.values() if ranges.reads(last, kind.si)), None)
    if si is None:
        refuse(key, f"found {shown(span)}, whose unit is unknown; accepted: like 40 h..60 h")
    low, high, unit = ranges.quantities(key, span, si.si, si.name)
    factor = parse(f"1 {unit}", si.si)
    same = isinstance(now, str) and ranges.reads(now, si.si)
    held = parse(now, si.si) / factor if same else None
    return Freed(key, "value", unit, low / factor, high / factor, held)


def _measured(text: str) -> bool:
    return any(ranges.reads(text, kind.si) for kind in KINDS.values())


def _bare(key: str, span: str, now: Any) -> Freed:  # noqa: ANN401
    """Return a freed number without a unit, such as a mixture ratio."""
    try:
        low, high = map(float, ranges.ends(key, span))
    except ValueError:
        refuse(key, f"found {shown(span)}; accepted: LOW..HIGH, with units")
    ranges.refuse_unless_rising(key, span, low, high)
    return Freed(key, "value", "", low, high, now)


def _stated(scenario: Scenario, key: str) -> Any:  # noqa: ANN401  (any TOML value)
    """Return what the scenario's files state at a key; None where they state nothing."""
    node: Any = scenario.tables_as_written()
    for step in key.split("."):
        if isinstance(node, list) and step.isdigit() and int(step) < len(node):
            node = node[int(step)]
        elif isinstance(node, dict):
            node = node.get(step)
        else:
            return None
    if isinstance(node, dict | list):
        refuse(key, "is a table; accepted: the key of a value")
    return node


def _toml(given: str) -> Any:  # noqa: ANN401  (any TOML value)
    """Return an option as a file has it; what is no TOML value is text."""
    try:
        return tomllib.loads(f"option = {given}")["option"]
    except ValueError:
        return given


def _engine(scenario: Scenario, key: str, span: str, name: str, engine: str) -> Freed:
    """Return a choice of engines."""
    found = engine_options.options(scenario, key, span, name, engine)
    now = engine_options.said(scenario.elements[name].engines[engine], engine)
    return Freed(key, "engine", now=now, options=found, element=name, part=engine)
