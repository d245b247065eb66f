"""The cases of a study that have their answer, read from where answers are kept."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import NamedTuple, overload

from mplan.scenario import Problem, ScenarioError
from mplan.studies.trades.flying import CaseOutcome
from mplan.studies.trades.store import AT_ONCE, CaseStore
from mplan.studies.trades.study import StudyCase, TradeStudy

HELD = 5_000  # cases, up to which all are read once and held: some 30 MB


class CaseRow(NamedTuple):
    """A case with what its axes show, None as planned, and what became of it."""

    number: int
    shown: tuple[float | str | None, ...]
    outcome: CaseOutcome


class KeptRows(Sequence[CaseRow]):
    """The cases of a study that had their answer when this was made, in the study's order.

    They are read as they are asked for, a few at a time; only of a study of few cases, up to
    `HELD`, all are held. The store has to stay open.
    """

    def __init__(
        self, study: TradeStudy, store: CaseStore, identities: Sequence[str], flown: Iterable[int]
    ) -> None:
        """Tell of the cases `flown`, by number; `identities` are those of all, by number less 1."""
        self._study, self._store, self._identities = study, store, identities
        self._flown = array("l", sorted(flown))
        self._held: tuple[CaseRow, ...] | None = None

    def __len__(self) -> int:
        """Return how many cases have their answer."""
        return len(self._flown)

    def __iter__(self) -> Iterator[CaseRow]:
        """Yield the cases. Raises ScenarioError where somebody has taken answers out meanwhile."""
        if self._held is None and len(self) <= HELD:
            self._held = tuple(self._read())
        yield from self._read() if self._held is None else self._held

    @overload
    def __getitem__(self, place: int) -> CaseRow: ...
    @overload
    def __getitem__(self, place: slice) -> tuple[CaseRow, ...]: ...
    def __getitem__(self, place: int | slice) -> CaseRow | tuple[CaseRow, ...]:
        """Return a case by its place, from 0; of a study of many cases those before it are read."""
        if isinstance(place, slice):
            return tuple(self[i] for i in range(*place.indices(len(self))))
        return next(islice(self, range(len(self))[place], None))

    def _read(self) -> Iterator[CaseRow]:
        there = set(self._flown)
        cases = (case for case in self._study.cases() if case.number in there)
        while some := list(islice(cases, AT_ONCE)):
            yield from self._rows(some)

    def _rows(self, cases: list[StudyCase]) -> Iterator[CaseRow]:
        asked = [self._identities[case.number - 1] for case in cases]
        answers = self._store.known(asked)
        for case, identity in zip(cases, asked, strict=True):
            if identity not in answers:
                text = "its answer is no longer kept: something else has taken it out meanwhile"
                raise ScenarioError([Problem("study", self._study.words(case), text)])
            shown = tuple(each.shown for each in case.settings)
            yield CaseRow(case.number, shown, CaseOutcome.read(answers[identity]))
