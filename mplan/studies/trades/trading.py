"""A study flown case by case, kept as it goes, and what came out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from mplan.plan import Plan, fly
from mplan.scenario import Problem, Scenario, ScenarioError
from mplan.scenario.wording import hint, shown
from mplan.studies import executors
from mplan.studies.trades import axes, figures, fronts
from mplan.studies.trades.flying import CaseStart, fly_case, start_from
from mplan.studies.trades.models import Best, Climb, Kind
from mplan.studies.trades.rows import CaseRow, KeptRows
from mplan.studies.trades.store import CaseStore
from mplan.studies.trades.study import Objective, StudyCase, TradeStudy
from mplan.studies.trades.values import Refused


@dataclass(frozen=True)
class Trades:
    """What came out of a study, in the order of its cases; `kept` were flown by an earlier run.

    The `rows` are read from the store, which has to stay open (`KeptRows`).
    """

    study: TradeStudy
    planned: Plan  # the mission as the scenario has it
    told: tuple[str, ...]  # the figures that tables have
    rows: Sequence[CaseRow]
    kept: int = 0

    @property
    def whole(self) -> bool:
        """Whether every case has its answer."""
        return len(self.rows) == self.study.count

    @cached_property
    def front(self) -> frozenset[int]:
        """The numbers of the cases on the front (`fronts.front`)."""
        return frozenset(fronts.front(self.rows, self.study.objectives))


def study_of(
    scenario: Scenario,
    values: Mapping[str, tuple[object, ...] | list[object]],
    *,
    kind: Kind = "grid",
    climb: Climb = "optimised",
    tell: tuple[str, ...] = (),
    objectives: Mapping[str, Best] | None = None,
) -> TradeStudy:
    """Return a study of lists of values by key, as a cell of a workbook states one.

    Raises `ScenarioError` for a key that no value will do for, and for units that differ.
    """
    found = []
    for key, each in values.items():
        try:
            axis = axes.of_values(key, tuple(each))
            axes.refuse_unknown(scenario, key, (x.changes for x in axis.settings))
        except (Refused, IndexError) as problem:
            text = str(problem) if isinstance(problem, Refused) else "no values"
            raise ScenarioError([Problem("study", key, text)]) from None
        found.append(axis)
    wanted = tuple(Objective(*each) for each in (objectives or {}).items())
    name = f"{scenario.mission.name}, a study"
    return TradeStudy(name, scenario, kind, tuple(found), climb, tell, wanted)


def of(
    study: TradeStudy,
    *,
    store: CaseStore | None = None,
    executor: executors.Executor | None = None,
    done: Callable[[int, int], None] = lambda done, total: None,
    so_far: Callable[[Callable[[], Trades]], None] = lambda found: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Trades:
    """Return what came out of a study; cases that a `store` has are not flown again.

    `executor` flies the others (None: one process a core, or this one where there are few). After
    each case, `done` is told how many of how many have their answer, `so_far` is given a function
    that returns what there is, and `stopped` is asked whether to leave the rest. Raises
    `ScenarioError` where the mission itself cannot be flown, where a figure is not known, and for
    a case that ends whoever works on it, which is named.
    """
    planned = fly(study.scenario)
    told = _told(study, planned)
    store = store or CaseStore()
    identities, found = _looked_up(study, store)
    before = len(found)

    def there() -> Trades:
        return Trades(study, planned, told, KeptRows(study, store, identities, found), before)

    done(before, study.count)
    if not stopped():
        start = start_from(planned, kept=study.climb == "kept")
        left = [number for number in range(1, study.count + 1) if number not in found]
        chosen = executor or executors.chosen(count=len(left))
        executors.make_ready(chosen, len(left))
        for number, answer in _answers(study, start, left, chosen, stopped):
            store.keep(identities[number - 1], answer)
            found.add(number)
            done(len(found), study.count)
            so_far(there)
    return there()


def kept(study: TradeStudy, store: CaseStore) -> int:
    """Return how many cases of a study have their answer in a store."""
    return len(_looked_up(study, store)[1])


def _looked_up(study: TradeStudy, store: CaseStore) -> tuple[list[str], set[int]]:
    """Return the identities of all cases, and the numbers of those that have their answer."""
    identities = [study.identity(case) for case in study.cases()]
    known = store.among(identities)
    return identities, {number for number, x in enumerate(identities, start=1) if x in known}


def _answers(
    study: TradeStudy,
    start: CaseStart,
    left: Sequence[int],
    executor: executors.Executor,
    stopped: Callable[[], bool],
) -> Iterator[tuple[int, str]]:
    """Yield the answers of the cases that are left, by number."""
    wanted = set(left)
    asked = (case for case in study.cases() if case.number in wanted)
    questions = ((start, case.changes, case.swaps) for case in asked)
    try:
        for index, answer in executor.answers(fly_case, questions, stopped):
            yield left[index], answer
    except executors.WorkerLost as lost:
        case = _case(study, left[lost.index])
        first = lost.problems[0]
        raise ScenarioError([Problem(first.place, study.words(case), first.text)]) from None


def _case(study: TradeStudy, number: int) -> StudyCase:
    return next(case for case in study.cases() if case.number == number)


def _told(study: TradeStudy, planned: Plan) -> tuple[str, ...]:
    """Return the figures that tables have; refuse one that the mission's plan does not know.

    Where the mission itself ends on the way, a case that gets further may have figures of its own.
    """
    known = figures.of(planned)
    asked = [("tell", i, name) for i, name in enumerate(study.tell)]
    asked += [("objectives", i, each.figure) for i, each in enumerate(study.objectives)]
    for table, place, name in asked:
        if name not in known and planned.complete:
            text = f"found {shown(name)}, no figure of this mission; {hint(name, known)}"
            at = study.where((table, place))
            raise ScenarioError([Problem(at, f"{table}.{place}", text)])
    usual = study.tell or figures.usual(planned)
    return tuple(dict.fromkeys((*usual, *(each.figure for each in study.objectives))))
