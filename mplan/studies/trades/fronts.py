"""Pareto fronts: the cases that no other one beats in every objective."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from mplan.studies.trades.rows import CaseRow
from mplan.studies.trades.study import Objective


def front(rows: Iterable[CaseRow], objectives: Sequence[Objective]) -> set[int]:
    """Return the numbers of the cases on the front, among those that close and have all figures.

    A case is off it where another one is as good in all objectives and better in one; equal
    ones stay both. With one objective it is the best case.
    """
    known = [
        (row.number, [_cost(row, each) for each in objectives])
        for row in (rows if objectives else ())
        if row.outcome.closes and _has_all(row, objectives)
    ]
    if not known:
        return set()
    costs = np.array([cost for _, cost in known])
    order = np.lexsort(costs.T[::-1])  # who beats a case comes before it, or equals it
    best: list[int] = []
    for place in order:
        others = costs[best]
        as_good, better = (others <= costs[place]).all(1), (others < costs[place]).any(1)
        if not (as_good & better).any():
            best.append(place)
    return {known[place][0] for place in best}


def _has_all(row: CaseRow, objectives: Sequence[Objective]) -> bool:
    return all(each.figure in row.outcome.figures for each in objectives)


def _cost(row: CaseRow, objective: Objective) -> float:
    """Return a figure of which less is better."""
    value = row.outcome.figures[objective.figure].value
    return value if objective.best == "least" else -value
