"""What lesson 3 leaves free, and what it holds: read from the workbook and from the scenario.

A key is freed as for `mplan size`: `elements.X.load=50 t..60 t`. What the pad carries is a limit
of the scenario itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from mplan.scenario import Problem, Scenario, ScenarioError
from mplan.scenario.quantities import Unreadable, number_in
from mplan.scenario.wording import shown
from mplan.show.columns import Column
from mplan.show.notebook import Table
from mplan.show.tables import framed
from mplan.studies.sizing.freed import Freed, read
from mplan.studies.sizing.laying import laid
from mplan.vehicle import layout
from mplan.vehicle.pad import limits

GIVEN = "CHANGES"  # what the workbook calls a learner's values
NEAR = 1e-6  # of a value, that the way through a file's units may move it


def freed_of(scenario: Scenario, free: Iterable[str]) -> tuple[Freed, ...]:
    """Return the free keys; ScenarioError where a key or its range would not do."""
    return read(scenario, free)


def free_keys(scenario: Scenario, free: Iterable[str]) -> Table:
    """Return what may be changed, from where to where, and what the scenario has now."""
    columns = (
        Column("key", lambda each: each.key),
        Column("now", lambda each: each.written(each.now)),
        Column("at least", lambda each: each.written(each.low)),
        Column("at most", lambda each: each.written(each.high)),
    )
    return Table(framed(columns, freed_of(scenario, free)))


def limits_of_the_pad(scenario: Scenario) -> Table:
    """Return what the pad allows, and what stands there now."""
    stated = [each for each in limits(scenario) if each.limit is not None and each.found]
    columns = (
        Column("limit of", lambda each: each.name),
        Column("now", lambda each: each.found * each.scale, 1),
        Column("at most", lambda each: each.limit * each.scale, 1),
        Column("unit", lambda each: each.unit),
    )
    return Table(framed(columns, stated))


def with_values(
    scenario: Scenario, freed: Iterable[Freed], given: Mapping[str, object]
) -> Scenario:
    """Return the scenario with a learner's values.

    ScenarioError, all problems at once, for keys that are not free and values out of their range.
    """
    known = {each.key: each for each in freed}
    problems, values = [], {}
    for key, value in given.items():
        try:
            each = known[key]
            values[each] = _in_range(each, value)
        except KeyError:
            problems.append(Problem(GIVEN, key, f"is not free; accepted: {', '.join(known)}"))
        except Unreadable as problem:
            problems.append(Problem(GIVEN, key, str(problem)))
    if problems:
        raise ScenarioError(problems)
    return laid(scenario, values)


def values_of(file: Scenario, freed: Iterable[Freed]) -> dict[str, str]:
    """Return what a learner's file has at the free keys, as `with_values` takes it."""
    found = {}
    for each in freed:
        if each.kind == "load":
            number = sum(layout.main_loads(file.elements[each.element]).values())
            found[each.key] = f"{number:.9g} kg"
        else:
            now = read(file, [f"{each.key}={each.low}..{each.high} {each.unit}"])[0].now
            found[each.key] = f"{now:.9g} {each.unit}"
    return found


def _in_range(freed: Freed, value: object) -> float:
    """Return a value in the unit of its range; Unreadable, with the whole message, outside."""
    span = f"{freed.written(freed.low)} to {freed.written(freed.high)}"
    try:
        if not isinstance(value, str):
            raise Unreadable(", not a quantity with its unit")
        number = number_in(value, freed.unit)
    except Unreadable as problem:
        raise Unreadable(f"found {shown(value)}{problem}; accepted: {span}") from None
    room = NEAR * (freed.high - freed.low)
    if not freed.low - room <= number <= freed.high + room:
        raise Unreadable(f"found {shown(value)}; accepted: {span}")
    return number
