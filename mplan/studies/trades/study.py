"""A study as it is flown: the mission, its axes, and the cases, made one by one."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import prod
from pathlib import Path
from typing import Any, NamedTuple

from mplan.scenario import Scenario
from mplan.scenario.catalogue import Listed
from mplan.scenario.reading.lines import Lines
from mplan.scenario.reading.lines import Path as KeyPath
from mplan.studies.engines import Mount
from mplan.studies.kit import source_digest
from mplan.studies.trades.models import Best, Climb, Kind

MOST = 100_000  # cases of one study: some five hours of flights on two cores


class Swap(NamedTuple):
    """So many of a catalogue's engine at a mount."""

    mount: Mount
    listed: Listed
    number: int


class Setting(NamedTuple):
    """One value of an axis: as tables show it, and what it changes; neither is as planned."""

    shown: float | str | None
    changes: Mapping[str, Any]
    swap: Swap | None = None


class Axis(NamedTuple):
    """One thing that is varied; what its settings show is in `unit`, where that is a number."""

    name: str
    unit: str
    settings: tuple[Setting, ...]


AS_PLANNED = Setting(None, {})


class Objective(NamedTuple):
    """A figure of which less, or more, is better."""

    figure: str
    best: Best


class StudyCase(NamedTuple):
    """One mission of a study: its number from 1, and the setting of each axis."""

    number: int
    settings: tuple[Setting, ...]

    @property
    def changes(self) -> dict[str, Any]:
        """What it changes by key, whole elements before what lies in them."""
        both = {key: new for each in self.settings for key, new in each.changes.items()}
        return dict(sorted(both.items(), key=lambda pair: pair[0].count(".")))

    @property
    def swaps(self) -> tuple[Swap, ...]:
        """The engines that it puts in place of others."""
        return tuple(each.swap for each in self.settings if each.swap is not None)


@dataclass(frozen=True)
class TradeStudy:
    """Many flights of one mission; `of_list` has the settings of a list, case by case."""

    name: str
    scenario: Scenario
    kind: Kind
    axes: tuple[Axis, ...]
    climb: Climb = "optimised"
    tell: tuple[str, ...] = ()
    objectives: tuple[Objective, ...] = ()
    source: Path | None = None
    lines: Lines | None = None  # of that file
    of_list: tuple[tuple[Setting, ...], ...] = ()

    def where(self, path: KeyPath) -> str:
        """Return the file and line of what stands at a path of the study's file."""
        line = f":{self.lines.of(path)}" if self.lines else ""
        return f"{self.source or 'study'}{line}"

    @property
    def count(self) -> int:
        """How many cases there are, none of them made."""
        sizes = [len(each.settings) for each in self.axes]
        if self.kind == "list":
            return len(self.of_list)
        return prod(sizes) if self.kind == "grid" else sum(sizes)

    def cases(self) -> Iterator[StudyCase]:
        """Yield the cases: a grid's with the last axis fastest, a sweep's axis by axis."""
        for number, settings in enumerate(self._settings(), start=1):
            yield StudyCase(number, settings)

    def words(self, case: StudyCase) -> str:
        """Return what a case has otherwise, in words."""
        pairs = zip(self.axes, case.settings, strict=True)
        told = [
            f"{axis.name} {each.shown} {axis.unit}".strip()
            for axis, each in pairs
            if each.shown is not None
        ]
        return f"case {case.number} ({', '.join(told) or 'as planned'})"

    def identity(self, case: StudyCase) -> str:
        """Return what stands for a case and all that its answer rests on, in 32 hexadecimal digits.

        That is the mission's document and those of earlier missions, what the case changes with
        the tables of its engines and elements, how the climb is steered, and the kit itself.
        """
        swaps = [(*each.mount, each.number, each.listed.data) for each in case.swaps]
        rests_on = [self._base, self.climb, case.changes, swaps]
        text = json.dumps(rests_on, sort_keys=True, default=str)
        return hashlib.sha256(text.encode()).hexdigest()[:32]

    @cached_property
    def _base(self) -> list[str]:
        return [source_digest(), *_documents(self.scenario)]

    def _settings(self) -> Iterator[tuple[Setting, ...]]:
        if self.kind == "list":
            yield from self.of_list
        elif self.kind == "grid":
            yield from product(*(each.settings for each in self.axes))
        else:
            planned = (AS_PLANNED,) * len(self.axes)
            for place, axis in enumerate(self.axes):
                for each in axis.settings:
                    yield (*planned[:place], each, *planned[place + 1 :])


def _documents(scenario: Scenario) -> Iterator[str]:
    """Yield what stands for a mission's document, and for those of the missions before it."""
    yield scenario.hash
    for name, earlier in sorted(scenario.left.items()):
        yield name
        yield from _documents(earlier)
