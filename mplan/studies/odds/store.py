"""Missions as they are flown, kept on disk: each once and whole, for a run that goes on later.

One file for a plan, its dispersions, seed and count: another of them makes another file. A group of
missions is written in one transaction: a run that is killed has all of them or none.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

import numpy as np

from mplan.scenario import Problem, ScenarioError

_TABLE = (
    "create table if not exists missions"
    " (number integer primary key, ended text, stops text, figures blob)"
)


class KeptMission(NamedTuple):
    """One mission as it is kept: its number, how it ended, what stops it, its figures."""

    number: int
    ended: str
    stops: str
    figures: Sequence[float]


class Store:
    """The missions of one run; open until it is closed."""

    def __init__(self, path: Path) -> None:
        """Open a file, or make it. Raises OSError where it cannot be written, naming it."""
        self.path = path
        try:
            self._open = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
        except sqlite3.Error as problem:
            raise _unusable(path, problem) from problem
        try:
            self._open.execute("pragma journal_mode = wal")
            self._open.execute(_TABLE)
        except sqlite3.Error as problem:
            self._open.close()
            raise _unusable(path, problem) from problem

    def close(self) -> None:
        """Leave the file."""
        self._open.close()

    def add(self, missions: Sequence[KeptMission]) -> None:
        """Keep missions, all of them or none; ScenarioError where one is there already."""
        rows = [
            (number, ended, stops, np.asarray(figures, dtype="<f8").tobytes())
            for number, ended, stops, figures in missions
        ]
        try:
            self._open.execute("begin immediate")
            self._open.executemany("insert into missions values (?, ?, ?, ?)", rows)
            self._open.execute("commit")
        except sqlite3.IntegrityError as problem:
            self._open.execute("rollback")
            text = "another run keeps these missions there too; accepted: one at a time in a folder"
            raise ScenarioError([Problem(str(self.path), "", text)]) from problem

    def numbers(self) -> set[int]:
        """Return the numbers of the missions that are kept."""
        return {number for (number,) in self._open.execute("select number from missions")}

    def __iter__(self) -> Iterator[KeptMission]:
        """Yield the missions in the order of their numbers, one at a time."""
        found = "select number, ended, stops, figures from missions order by number"
        with closing(self._open.execute(found)) as rows:
            for number, ended, stops, figures in rows:
                yield KeptMission(
                    number, ended, stops, np.frombuffer(figures, dtype="<f8").tolist()
                )

    def column(self, place: int) -> np.ndarray:
        """Return one figure of all missions, by rising number."""
        found = f"select substr(figures, {8 * place + 1}, 8) from missions order by number"
        return np.frombuffer(b"".join(x for (x,) in self._open.execute(found)), dtype="<f8")

    def holding(self, ended: str) -> np.ndarray:
        """Return which missions `ended` so and are stopped by nothing, by rising number."""
        found = "select ended = ? and stops = '' from missions order by number"
        return np.array([x for (x,) in self._open.execute(found, [ended])], dtype=bool)

    def counted(self, key: str) -> dict[str, int]:
        """Return how many missions have each value of a column of text, the most first."""
        found = f"select {key}, count(*) from missions group by {key} order by 2 desc, 1"
        return dict(self._open.execute(found))


def _unusable(path: Path, problem: sqlite3.Error) -> OSError:
    return OSError(0, f"cannot be used for missions: {problem}", str(path))
