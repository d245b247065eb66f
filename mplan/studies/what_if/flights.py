"""A plan's scenario flown with other values, one flight a change."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from mplan.plan import Plan, fly
from mplan.scenario import ScenarioError
from mplan.studies import executors

Changes = Mapping[str, Any]  # values by dotted key, as a scenario file would have them


class ChangedFlight(NamedTuple):
    """What became of a change: the plan it gives or, where it cannot be flown, the reason."""

    plan: Plan | None
    refused: str = ""


def fly_changes(
    plan: Plan,
    wanted: Sequence[Changes],
    *,
    workers: int | None = 1,
    stopped: Callable[[], bool] = lambda: False,
) -> Iterator[tuple[int, ChangedFlight]]:
    """Yield the index of each change with what became of it, as they come.

    Climbs are steered as those of the plan, as with `fly(..., like=plan)`. They are flown in
    this process, or in so many `workers` beside it (None: one a core).
    """
    executor = executors.chosen(workers, len(wanted))
    yield from executor.answers(changed, [(plan, dict(each)) for each in wanted], stopped)


def changed(plan: Plan, changes: Changes) -> ChangedFlight:
    """Return what becomes of one change, the same whoever flies it."""
    try:
        return ChangedFlight(fly(plan.scenario.change(changes), like=plan))
    except ScenarioError as problem:
        first = problem.problems[0]
        return ChangedFlight(None, f"{first.key}: {first.text}")
