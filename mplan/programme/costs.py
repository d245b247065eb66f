"""What a programme costs, year by year: each amount is spread evenly over the days of its work.

Units in stock are paid for; those under way and development begun cost what is left of them.
Development is shared by the launches that use its element or engine, by the units they take.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta

from mplan.programme.entries import CostLine, Task
from mplan.programme.launching import Launching
from mplan.programme.learning import unit_cost
from mplan.programme.money import whole_days
from mplan.programme.production import under_way_takes
from mplan.programme.programme import Programme
from mplan.programme.searching.solving import SolvedDays
from mplan.programme.tasks import drawn

OPERATIONS = "flight operations"


def costs(
    programme: Programme, asked: dict[str, Launching], solved: SolvedDays, tasks: Iterable[Task]
) -> tuple[CostLine, ...]:
    """Return the cost lines, in order of year, element and mission."""
    by_key = {task.key: task for task in tasks}
    lines = [
        *_units(programme, asked, solved),
        *_development(programme, asked, by_key),
        *_operations(programme, by_key),
    ]
    total: dict[CostLine, float] = {}
    for each in lines:
        bare = replace(each, amount=0.0)
        total[bare] = total.get(bare, 0.0) + each.amount
    found = (replace(each, amount=amount) for each, amount in total.items())
    return tuple(sorted(found, key=lambda x: (x.year, x.kind, x.element, x.mission or "")))


def by_year(lines: Iterable[CostLine]) -> dict[int, float]:
    """Return what is spent in each year."""
    found: dict[int, float] = {}
    for each in lines:
        found[each.year] = found.get(each.year, 0.0) + each.amount
    return dict(sorted(found.items()))


def spread(amount: float, begins: date, ends: date) -> Iterator[tuple[int, float]]:
    """Yield the years from `begins` to `ends` with their part of an amount, day by day the same."""
    days = max((ends - begins).days, 1)
    last = begins + timedelta(days=days)
    for year in range(begins.year, (last - timedelta(days=1)).year + 1):
        inside = min(last, date(year + 1, 1, 1)) - max(begins, date(year, 1, 1))
        yield year, amount * inside.days / days


def _units(
    programme: Programme, asked: dict[str, Launching], solved: SolvedDays
) -> Iterator[CostLine]:
    """Yield the recurring costs: units and their engines, those under way from today on."""
    for name, supply in programme.elements.items():
        number, takes = supply.built_before, max(1, whole_days(supply.build_time))
        begun = under_way_takes(programme, name)
        for launch, _, unit in drawn(programme, asked, solved, name):
            if unit.begins is None:
                continue  # in stock
            number += not unit.stated
            price = _price(programme, name, None if unit.stated else number)
            parts = {name: price} | {
                engine: count * programme.engines[engine].cost
                for engine, count in supply.engines.items()
            }
            begins = max(unit.begins, 0)
            left = min(1.0, (unit.ready - begins) / (begun if unit.stated else takes))
            for what, amount in parts.items():
                yield from _lines(programme, what, launch.key, (begins, unit.ready), amount * left)


def _price(programme: Programme, element: str, number: int | None) -> float:
    """Return what a unit costs without its engines; one without a number costs as the first."""
    first, curve = programme.elements[element].cost, programme.learning
    if curve is None or number is None:
        return first
    return unit_cost(first, number, curve.slope, curve.curve)


def _lines(
    programme: Programme, what: str, mission: str, work: tuple[int, int], amount: float
) -> Iterator[CostLine]:
    begins, ends = (programme.today + timedelta(days=day) for day in work)
    for year, part in spread(amount, begins, ends):
        if part:
            yield CostLine(year, what, mission, "recurring", part)


def _development(
    programme: Programme, asked: dict[str, Launching], tasks: dict[str, Task]
) -> Iterator[CostLine]:
    """Yield the nonrecurring costs, shared by who uses what is developed."""
    ahead = [x for x in asked.values() if not x.flown]
    for name, supply in programme.elements.items():
        users = +Counter({x.key: len(x.drawn(name)) for x in ahead})
        yield from _shared(programme, name, supply.development_cost, users, tasks)
    for name, engine in programme.engines.items():
        users = Counter()
        for each in ahead:
            for draw in each.draws:
                users[each.key] += programme.elements[draw.element].engines.get(name, 0)
        yield from _shared(programme, name, engine.development_cost, +users, tasks)


def _shared(
    programme: Programme, name: str, amount: float, users: Counter[str], tasks: dict[str, Task]
) -> Iterator[CostLine]:
    """Yield an amount by year and user, over its work, or at once where that takes no time."""
    if not users or not amount:
        return
    work = [tasks[x] for x in (f"develop:{name}", f"qualify:{name}") if x in tasks]
    begins = min((x.begins for x in work), default=programme.today)
    ends = max((x.ends for x in work), default=programme.today)
    for year, part in spread(amount, begins, ends):
        for user, count in users.items():
            yield CostLine(year, name, user, "nonrecurring", part * count / users.total())


def _operations(programme: Programme, tasks: dict[str, Task]) -> Iterator[CostLine]:
    for key, each in programme.launches.items():
        task = tasks.get(f"flight:{key}")
        if task is None or not each.operations_cost:
            continue
        begins = max(task.begins, programme.today)
        if begins < task.ends:
            left = each.operations_cost * (task.ends - begins).days / task.days
            for year, part in spread(left, begins, task.ends):
                yield CostLine(year, OPERATIONS, key, "recurring", part)
