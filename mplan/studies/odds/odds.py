"""The odds of a plan: missions drawn, flown, kept and counted.

Each mission is flown as planned: dates, orbits, the arc to the Moon and the attitudes of the climb
are the plan's; what departs is what [dispersions] and [errors] state, and nothing else. It ends as
`outcome` tells. The figures do not depend on how many processes fly them.
"""

from __future__ import annotations

import hashlib
import json
import pickle
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from functools import lru_cache, partial
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from mplan.flight.unflyable import Unflyable
from mplan.physics import compiling
from mplan.plan import Plan
from mplan.studies.executors import Executor, chosen
from mplan.studies.odds import outcome, setting, summary
from mplan.studies.odds.design import design
from mplan.studies.odds.setting import MissionSetting
from mplan.studies.odds.store import KeptMission, Store
from mplan.studies.odds.summary import Odds

FORMAT = "odds/1"  # of what a key stands for
MISSIONS, MOST = 1_000, 200_000  # usual; what is drawn for the most fits into some 200 MB
WORTH_COMPILING = 500  # missions: below that, loading compiled functions costs more than they save
TOGETHER = 10  # missions that are flown, and written, as one piece of work


def of(
    plan: Plan,
    missions: int = MISSIONS,
    seed: int = 1,
    *,
    executor: Executor | None = None,
    workers: int | None = None,
    to: Path | None = None,
    done: Callable[[int, int], None] = lambda done, total: None,
    so_far: Callable[[Callable[[], Odds]], None] = lambda odds: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Odds:
    """Return the odds of a plan, by `missions` that are drawn with a `seed` and flown.

    They are kept in the folder `to`, where a run that was stopped or killed goes on, and once all
    are flown written as Parquet too; without a folder they are kept nowhere. An `executor` flies
    them, or `workers` processes (1: none but this one). After some missions `done` is told how many
    of how many are flown, `so_far` is given a function that returns the odds of those, to be called
    before this one returns, and `stopped` is asked whether to leave the rest.

    Raises ScenarioError without [dispersions], for a plan that is not flown to its end, and for a
    count of missions that is none or more than the `MOST`.
    """
    _refuse(plan, missions)
    start, held = setting.of(plan), summary.planned(plan)
    drawn = design([each.spread for each in start.drawn], missions, seed)
    titles = tuple(each.title for each in start.drawn)
    with _folder(to) as folder:
        path = folder / f"missions-{key(held, missions, seed)}.sqlite"
        with closing(Store(path)) as store:
            tell = partial(summary.of, held, store, drawn, titles, seed)
            flown = len(known := store.numbers())
            done(flown, missions)
            if missions - flown >= WORTH_COMPILING:
                compiling.load()  # kept for all processes, in a minute at most
            work = executor or chosen(workers, missions - flown)
            questions = _questions(start, held.names, drawn, known)
            for _, kept in work.answers(_flown, questions, stopped) if flown < missions else ():
                store.add(kept)
                flown += len(kept)
                done(flown, missions)
                so_far(tell)
            if to is not None and flown == missions:
                from mplan.studies.odds import table  # and the library that writes it

                table.write(path.with_suffix(".parquet"), store, held.names, drawn, start.drawn)
            return tell()


def key(held: summary.Planned, missions: int, seed: int) -> str:
    """Return 12 hexadecimal digits that stand for all that the missions depend on.

    The scenario with its dispersions, earlier missions, seed and count, and the plan's own figures,
    which another version of the kit may have otherwise.
    """
    scenario = held.plan.scenario
    said = [FORMAT, scenario.hash, *(x.hash for x in scenario.left.values()), missions, seed]
    figures = {name: f"{value:.9g}" for name, value in held.figures.items()}
    return hashlib.sha256(json.dumps([said, figures]).encode()).hexdigest()[:12]


def _refuse(plan: Plan, missions: int) -> None:
    """Raise ScenarioError for what there are no odds of."""
    scenario = plan.scenario
    if scenario.dispersions is None:
        text = 'missing; write the table [dispersions], for example with dry_mass = "0.5 %"'
        raise scenario.refused(("dispersions",), text)
    if plan.flight.ended is not None:
        text = f"the plan is not flown to its end: {plan.flight.ended.text}"
        raise scenario.refused(("events",), f"{text}; accepted: a plan that is")
    if not 1 <= missions <= MOST:
        raise scenario.refused(("missions",), f"found {missions:,}; accepted: from 1 to {MOST:,}")


@contextmanager
def _folder(to: Path | None) -> Iterator[Path]:
    """Yield the folder for the missions, made if it is not there; one that goes, without any."""
    if to is None:
        with TemporaryDirectory(prefix="mplan-") as name:
            yield Path(name)
    else:
        to.mkdir(parents=True, exist_ok=True)
        yield to


def _questions(
    start: MissionSetting, names: tuple[str, ...], drawn: np.ndarray, known: set[int]
) -> Iterator[tuple[Any, ...]]:
    """Yield pieces of work: numbers of missions that are not flown yet, and what they draw."""
    blob = pickle.dumps(start)
    left = (i for i in range(len(drawn)) if i not in known)
    while numbers := list(islice(left, TOGETHER)):
        yield blob, names, numbers, drawn[numbers]


@lru_cache(maxsize=2)
def _setting(blob: bytes) -> MissionSetting:
    """Return what missions start from, unpacked once a process."""
    found = pickle.loads(blob)
    assert isinstance(found, MissionSetting)
    return found


def _flown(
    blob: bytes, names: tuple[str, ...], numbers: list[int], drawn: np.ndarray
) -> list[KeptMission]:
    """Return missions as they are kept."""
    start = _setting(blob)
    return [
        KeptMission(i, *_told(start, names, own)) for i, own in zip(numbers, drawn, strict=True)
    ]


def _told(
    start: MissionSetting, names: tuple[str, ...], own: np.ndarray
) -> tuple[str, str, list[float]]:
    try:
        return outcome.told(start.fly(own.tolist()), names)
    except Unflyable as problem:
        return outcome.told(problem, names)
