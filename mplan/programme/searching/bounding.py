"""What no schedule can be better than: a linear programme of what is asked, without turns.

A launch waits for the unit it draws, for its windows and for what comes before it; that pads,
crews and teams do one thing at a time is left out. Of the launches that draw from one line, all
but k lift off no earlier than unit k + 1 allows. Whether a launch waits for a unit may be a
fraction here, so that the least sum of launch days is found at once, and is no more than the true
one (the relaxation of a time-indexed formulation: Sousa and Wolsey, "A time indexed formulation of
non-preemptive single machine scheduling problems", Mathematical Programming 54, 1992).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from mplan.programme.launching import Launching
from mplan.programme.production import units
from mplan.programme.programme import Programme


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
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    ahead = {key: each for key, each in asked.items() if not each.flown}
    rows = _Rows()
    days = {key: rows.new(_first(each), _last(each)) for key, each in ahead.items()}
    waits = _steps(programme, ahead, rows, days)
    _supply(programme, ahead, rows, waits)
    for key, each in ahead.items():
        for earlier in each.after:
            before = asked[earlier]
            if earlier in days:
                rows.add([(days[key], 1.0), (days[earlier], -1.0)], before.duration)
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


def _first(each: Launching) -> int:
    return each.day if each.day is not None else each.opens(max(each.earliest, 0))


def _last(each: Launching) -> float:
    return float("inf") if each.day is None else each.day


_Waits = dict[str, dict[int, int]]  # of each launch: the column of "not before this day"


def _steps(
    programme: Programme, ahead: Mapping[str, Launching], rows: _Rows, days: Mapping[str, int]
) -> _Waits:
    """Give each launch the days that units or windows may make it wait for, one on another."""
    asked: dict[str, set[int]] = {key: set() for key in ahead}
    for element in programme.elements:
        for each, lead, ready in _pairs(programme, ahead, element):
            asked[each.key].add(each.opens(ready + lead))
    waits: _Waits = {key: {} for key in ahead}
    for key, steps in asked.items():
        each = ahead[key]
        first = last = _first(each)
        terms = [(days[key], 1.0)]
        for step in sorted(x for x in steps if x > first):
            column = rows.new(0.0, 1.0 if each.day is None else 0.0)
            waits[key][step] = column
            terms.append((column, float(last - step)))
            if last > first:
                rows.add([(waits[key][last], 1.0), (column, -1.0)], 0.0)
            last = step
        rows.add(terms, float(first))
    return waits


def _pairs(
    programme: Programme, ahead: Mapping[str, Launching], element: str
) -> list[tuple[Launching, int, int]]:
    """Return each draw from a line with each day on which a unit is ready."""
    draws = [(each, x.lead) for each in ahead.values() for x in each.drawn(element)]
    ready = sorted({unit.ready for unit in units(programme, element, len(draws))})
    return [(each, lead, day) for each, lead in draws for day in ready]


def _supply(
    programme: Programme, ahead: Mapping[str, Launching], rows: _Rows, waits: _Waits
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
                if step <= _first(each):
                    needed -= 1.0
                elif step in waits[each.key]:
                    terms.append((waits[each.key][step], 1.0))
            if needed > 0.0:
                rows.add(terms, needed)
