"""Whether a scenario takes the ends of what is freed of it: each alone, else with the other keys.

A key may hold a limit for another one, such as the lunar orbit for the ellipse before it. What one
would not do with as the scenario stands may do within the range of the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice, product
from typing import TYPE_CHECKING, Any

from mplan.scenario import Problem, Scenario, ScenarioError
from mplan.scenario.wording import shown
from mplan.studies.sizing.ranges import refuse

if TYPE_CHECKING:
    from mplan.studies.sizing.freed import Freed, Value

MOST_TRIED = 256  # combinations of the ends of other keys (our choice)


def refuse_others(scenario: Scenario, keys: Sequence[Freed]) -> None:
    """Raise ScenarioError for the first end or option of `keys` that it would not take."""
    for each in keys:
        others = [x for x in keys if x is not each]
        for end in each.ends:
            _refuse_unless_taken(scenario, each, end, others)


def _refuse_unless_taken(
    scenario: Scenario, each: Freed, end: Value, others: Sequence[Freed]
) -> None:
    mine = {each.key: each.stated(end)}
    problem = _problem(scenario, mine)
    if problem is None:
        return
    met = [x for x in others if x.key == problem.key or x.key in problem.text]
    if met:
        for beside in islice(_ends(others), MOST_TRIED):
            found = _problem(scenario, mine | beside)
            if found is None:
                return
            problem = found
    said = problem.text if problem.key == each.key else f"{problem.key}: {problem.text}"
    span = " and ".join(f"{x.key} {x.span}" for x in met)
    refuse(each.key, f"{shown(mine[each.key])} would not do{span and f' with {span}'}: {said}")


def _ends(others: Sequence[Freed]) -> Iterator[dict[str, Any]]:
    """Yield the other keys at every combination of their ends."""
    for ends in product(*(each.ends for each in others)):
        yield {each.key: each.stated(end) for each, end in zip(others, ends, strict=True)}


def _problem(scenario: Scenario, values: Mapping[str, Any]) -> Problem | None:
    try:
        scenario.change(values)
    except ScenarioError as problem:
        return problem.problems[0]
    return None
