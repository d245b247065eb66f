"""Where the answers of cases are kept as they come, so that a study that was ended goes on.

An SQLite database: an answer is on the disk before the next is looked at, and a process that is
killed while it writes leaves the answers before it whole. An answer lies under what stands for
all that it rests on (`TradeStudy.identity`): a study that has changed finds those that still hold.
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from threading import Lock
from typing import Any
from weakref import finalize

from mplan.physics.arcs.compiled import cache_folder
from mplan.scenario import Problem, ScenarioError

PATIENCE = 30.0  # s, for another process that writes into the same file
NAMELESS = ""  # SQLite's name for a file of its own, which is gone once it is closed
AT_ONCE = 500  # answers that are looked for in one go; SQLite takes 999 and more


def place(study_file: str | os.PathLike[str]) -> Path:
    """Return where the answers of a study file are kept: in the user's cache folder."""
    whole = Path(os.path.realpath(study_file))
    digest = hashlib.sha256(str(whole).encode("utf-8", "surrogateescape")).hexdigest()[:12]
    return cache_folder().parent / "studies" / f"{whole.stem}-{digest}.sqlite"


class CaseStore:
    """Answers by the identity of their case; `trouble` tells why they are not kept, if so."""

    def __init__(self, path: str | os.PathLike[str] | None = None) -> None:
        """Open a file, made where there is none.

        With none, or none that opens, answers lie in a file without a name, gone with this store:
        many are not held in memory.
        """
        self.trouble = ""
        self._alone = Lock()  # one thread writes what another shows meanwhile
        self._data = self._opened(path)
        self._end = finalize(self, self._data.close)

    def _opened(self, path: str | os.PathLike[str] | None) -> sqlite3.Connection:
        if path is None:
            return _opened(NAMELESS)
        try:
            Path(path).parent.mkdir(parents=True, exist_ok=True)
            return _opened(os.fspath(path))
        except (OSError, sqlite3.OperationalError) as problem:
            self.trouble = f"{os.fspath(path)}: {problem}"
            return _opened(NAMELESS)
        except sqlite3.DatabaseError as problem:
            text = f"holds no answers of a study ({problem}); delete it, or move it away"
            raise ScenarioError([Problem(os.fspath(path), "", text)]) from None

    def known(self, identities: Iterable[str]) -> dict[str, str]:
        """Return the answers that are there, by identity."""
        return dict(self._found("identity, answer", identities))

    def among(self, identities: Iterable[str]) -> set[str]:
        """Return which of these have their answer."""
        return {identity for (identity,) in self._found("identity", identities)}

    def keep(self, identity: str, answer: str) -> None:
        """Write an answer; it is on the disk when this returns."""
        with self._alone:
            self._data.execute("INSERT OR IGNORE INTO answers VALUES (?, ?)", (identity, answer))

    def forget(self) -> None:
        """Take out all answers."""
        with self._alone:
            self._data.execute("DELETE FROM answers")

    def close(self) -> None:
        """Close the file."""
        self._end()

    def _found(self, columns: str, identities: Iterable[str]) -> Iterator[tuple[Any, ...]]:
        asked = iter(identities)
        while part := list(islice(asked, AT_ONCE)):
            marks = ",".join("?" * len(part))
            query = f"SELECT {columns} FROM answers WHERE identity IN ({marks})"
            with self._alone:
                there = self._data.execute(query, part).fetchall()
            yield from there


def _opened(path: str) -> sqlite3.Connection:
    data = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None, check_same_thread=False)
    try:
        data.execute("PRAGMA journal_mode=WAL")
        data.execute("PRAGMA synchronous=FULL")
        table = "answers (identity TEXT PRIMARY KEY, answer TEXT NOT NULL) WITHOUT ROWID"
        data.execute(f"CREATE TABLE IF NOT EXISTS {table}")
    except sqlite3.Error:
        data.close()
        raise
    return data
