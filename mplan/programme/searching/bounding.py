"""What no schedule can be better than: a linear programme of what is asked.

A launch waits for the unit it draws, for its windows and for what comes before it. That pads,
crews and teams do one thing at a time enters by what it makes of sums of starts, in rounds. Of
the launches that draw from one line, all but k lift off no earlier than unit k + 1 allows. Whether
a launch waits for a unit may be a fraction here, so that the least sum of launch days is found at
once, and is no more than the true one (the relaxation of a time-indexed formulation: Sousa and
Wolsey, "A time indexed formulation of non-preemptive single machine scheduling problems",
Mathematical Programming 54, 1992).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from mplan.programme.launching import Launching
from mplan.programme.production import units
from mplan.programme.programme import Programme

ROUNDS = 8  # of turns added; own choice
SLIGHT = 0.5  # d on average that a violation must come to; own choice


@dataclass
class _Rows:
    """Constraints `least <= sum of coefficients times columns`, and the bounds of columns."""

    row: list[int] = field(default_factory=list)
    column: list[int] = field(default_factory=list)
    factor: list[float] = field(default_factory=list)
    least: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def new(self, low: float, high: float) -> int:
        """Return a new column."""
        self.low.append(low)
        self.high.append(high)
        return len(self.low) - 1

    def add(self, terms: list[tuple[int, float]], least: float) -> None:
        """Add a constraint."""
        for column, factor in terms:
            self.row.append(len(self.least))
            self.column.append(column)
            self.factor.append(factor)
        self.least.append(least)


def relaxed(programme: Programme, asked: Mapping[str, Launching]) -> dict[str, float]:
    """Return days of all launches ahead whose sum no schedule is below; {} where none was found.

    They hold no schedule together, but tell well in which order to try.
    """
    ahead = {key: each for key, each in asked.items() if not each.flown}
    rows = _Rows()
    first = _firsts(asked)
    days = {key: rows.new(first[key], _last(each)) for key, each in ahead.items()}
    waits = _steps(programme, ahead, rows, days, first)
    _supply(programme, ahead, rows, waits, first)
    for key, each in ahead.items():
        for earlier in each.after:
            before = asked[earlier]
            if earlier in days:
                rows.add([(days[key], 1.0), (days[earlier], -1.0)], before.duration)
    turns = _turns(asked, first)
    found: dict[str, float] = {}
    for _ in range(ROUNDS):
        solved = _least(rows, days)
        found = solved or found
        if not solved or not _tightened(rows, days, turns, solved):
            break
    return found


def _least(rows: _Rows, days: Mapping[str, int]) -> dict[str, float]:
    """Return the days of the least sum; {} where the constraints allow none."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    if not days:
        return {}
    shape = len(rows.least), len(rows.low)
    matrix = coo_array((rows.factor, (rows.row, rows.column)), shape=shape)
    found = milp(
        [1.0 if i < len(days) else 0.0 for i in range(len(rows.low))],
        constraints=LinearConstraint(matrix.tocsr(), rows.least) if rows.least else None,
        bounds=Bounds(rows.low, rows.high),
    )
    return {} if found.x is None else {key: float(found.x[i]) for key, i in days.items()}


class _Turn(NamedTuple):
    """What a launch takes up of one resource: from `begins` after its day on, `takes` days."""

    key: str
    begins: int
    takes: int
    earliest: int  # on which it can be taken up


def _turns(asked: Mapping[str, Launching], first: Mapping[str, int]) -> list[list[_Turn]]:
    """Return for each pad, crew and team what takes it up in turn."""
    found: dict[tuple[str, str], list[_Turn]] = {}
    for each in asked.values():
        training = min(each.training, each.first_training)
        for held in each.spans(training) if not each.flown else ():
            earliest = max(0, first[each.key] + held.begins)
            turn = _Turn(each.key, held.begins, held.ends - held.begins, earliest)
            found.setdefault((held.kind, held.name), []).append(turn)
    return list(found.values())


def _tightened(
    rows: _Rows, days: Mapping[str, int], turns: list[list[_Turn]], found: Mapping[str, float]
) -> bool:
    """Add what the days found violate of the turns on each resource; tell whether any did.

    Of tasks on one machine, the sum of length times start is least one after the other from the
    earliest start on, whatever the order (Queyranne, "Structure of a simple scheduling
    polyhedron", Mathematical Programming 58, 1993).
    """
    any_added = False
    for used in turns:
        used.sort(key=lambda x: found[x.key] + x.begins)
        for first in range(len(used)):
            total = squares = 0
            here, earliest = 0.0, used[first].earliest
            worst, taken = SLIGHT, 0
            for index in range(first, len(used)):
                turn = used[index]
                total, squares = total + turn.takes, squares + turn.takes**2
                here += turn.takes * (found[turn.key] + turn.begins)
                earliest = min(earliest, turn.earliest)
                lacking = (earliest * total + (total**2 - squares) / 2 - here) / max(total, 1)
                if lacking > worst:
                    worst, taken = lacking, index + 1
            if taken:
                _in_turn(rows, days, used[first:taken])
                any_added = True
    return any_added


def _in_turn(rows: _Rows, days: Mapping[str, int], used: list[_Turn]) -> None:
    total = sum(x.takes for x in used)
    earliest = min(x.earliest for x in used)
    least = earliest * total + (total**2 - sum(x.takes**2 for x in used)) / 2
    least -= sum(x.takes * x.begins for x in used)
    rows.add([(days[x.key], float(x.takes)) for x in used], least)


def _firsts(asked: Mapping[str, Launching]) -> dict[str, int]:
    """Return the first day of each launch ahead: what is under way ends, and its crew trains.

    No mission of a crew that begins lifts off before the first training has ended.
    """
    free: dict[tuple[str, str], int] = {}
    for each in asked.values():
        for held in each.spans(0) if each.flown else ():
            ends = held.ends + (each.day or 0)
            free[held.kind, held.name] = max(ends, free.get((held.kind, held.name), 0))
    found = {}
    for key, each in asked.items():
        if each.flown:
            continue
        begun = ("crew", each.crew) in free
        training = each.training if begun else min(each.first_training, each.training)
        day = max(each.earliest, 0 if begun or not each.crew else each.first_training)
        waits = (free.get((x.kind, x.name), 0) - x.begins for x in each.spans(training))
        found[key] = each.opens(max(day, *waits)) if each.day is None else each.day
    return found


def _last(each: Launching) -> float:
    return float("inf") if each.day is None else each.day


_Waits = dict[str, dict[int, int]]  # of each launch: the column of "not before this day"


def _steps(
    programme: Programme,
    ahead: Mapping[str, Launching],
    rows: _Rows,
    days: Mapping[str, int],
    first: Mapping[str, int],
) -> _Waits:
    """Give each launch the days that units or windows may make it wait for, one on another."""
    asked: dict[str, set[int]] = {key: set() for key in ahead}
    for element in programme.elements:
        for each, lead, ready in _pairs(programme, ahead, element):
            asked[each.key].add(each.opens(ready + lead))
    waits: _Waits = {key: {} for key in ahead}
    for key, steps in asked.items():
        each = ahead[key]
        last = first[key]
        terms = [(days[key], 1.0)]
        for step in sorted(x for x in steps if x > first[key]):
            column = rows.new(0.0, 1.0 if each.day is None else 0.0)
            waits[key][step] = column
            terms.append((column, float(last - step)))
            if last > first[key]:
                rows.add([(waits[key][last], 1.0), (column, -1.0)], 0.0)
            last = step
        rows.add(terms, float(first[key]))
    return waits


def _pairs(
    programme: Programme, ahead: Mapping[str, Launching], element: str
) -> list[tuple[Launching, int, int]]:
    """Return each draw from a line with each day on which a unit is ready."""
    draws = [(each, x.lead) for each in ahead.values() for x in each.drawn(element)]
    ready = sorted({unit.ready for unit in units(programme, element, len(draws))})
    return [(each, lead, day) for each, lead in draws for day in ready]


def _supply(
    programme: Programme,
    ahead: Mapping[str, Launching],
    rows: _Rows,
    waits: _Waits,
    first: Mapping[str, int],
) -> None:
    for element in programme.elements:
        draws = [(each, x.lead) for each in ahead.values() for x in each.drawn(element)]
        ready = [unit.ready for unit in units(programme, element, len(draws))]
        for before, day in enumerate(ready):
            if before and day == ready[before - 1]:
                continue
            terms, needed = [], float(len(draws) - before)
            for each, lead in draws:
                step = each.opens(day + lead)
                if step <= first[each.key]:
                    needed -= 1.0
                elif step in waits[each.key]:
                    terms.append((waits[each.key][step], 1.0))
            if needed > 0.0:
                rows.add(terms, needed)
