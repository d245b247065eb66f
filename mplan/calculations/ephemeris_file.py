"""An ephemeris as read from a file: arcs of states, and the state at any time between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from scipy.interpolate import KroghInterpolator

from mplan.physics.bodies.time import utc_from_tdb
from mplan.physics.vectors import freeze
from mplan.scenario.arguments import ArgumentError, moment
from mplan.transfer_results import Printed, StateVector, date_of

Interpolation = Literal["HERMITE", "LAGRANGE", "LINEAR"]
COMMENTS = 3  # shown
ROUNDING = 1e-6  # s: dates are good to that, so that an arc's ends can be asked for


@dataclass(frozen=True, eq=False, repr=False)
class EphemerisArc(Printed):
    """One segment: `states` (n, 6) [m, m/s] at `times` (n,) [TDB s past J2000], ICRF axes.

    They count from the centre that `frame` names. From `first` to `last` [TDB s] they may be used.
    `stated_frame` and `time_system` are the file's; `notes` say what was turned or left out.
    """

    name: str
    object_id: str
    frame: str
    stated_frame: str
    time_system: str
    times: np.ndarray
    states: np.ndarray
    first: float
    last: float
    interpolation: Interpolation
    degree: int
    comments: tuple[str, ...]
    notes: tuple[str, ...]

    def __post_init__(self) -> None:
        """Make the arrays read-only."""
        freeze(self)

    def at_tdb(self, t: float) -> StateVector:
        """Return the state at `t` [TDB s past J2000]; ValueError outside `first` to `last`."""
        if not self.covers(t):
            raise ValueError(f"{date_of(t)} is not between {self._ends()}")
        near = self._near(t)
        origin, span = self.times[near][0], self.times[near][-1] - self.times[near][0]
        x, y = (self.times[near] - origin) / span, self.states[near]
        at = (t - origin) / span
        if self.interpolation == "HERMITE":
            twice = np.repeat(x, 2)
            rows = np.stack([y[:, :3], y[:, 3:] * span], axis=1).reshape(-1, 3)
            place = KroghInterpolator(twice, rows)
            return StateVector(t, place(at), place.derivative(at) / span, self.frame)
        found = KroghInterpolator(x, y)(at)
        return StateVector(t, found[:3], found[3:], self.frame)

    def covers(self, t: float) -> bool:
        """Tell whether `t` [TDB s] lies between `first` and `last`."""
        return self.first - ROUNDING <= t <= self.last + ROUNDING

    def _near(self, t: float) -> slice:
        """Return the states to interpolate between: as many as the degree asks, around `t`."""
        count = self.degree // 2 + 1 if self.interpolation == "HERMITE" else self.degree + 1
        count = max(count, 2)
        after = int(np.searchsorted(self.times, t, side="right"))
        begin = min(max(0, after - (count + 1) // 2), len(self.times) - count)
        return slice(begin, begin + count)

    def _ends(self) -> str:
        return f"{date_of(self.first)} and {date_of(self.last)}"

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield "object", f"{self.name}, {self.object_id}"
        yield "states", f"{len(self.times)}, {self.frame}; in the file {self.stated_frame}"
        yield "usable", f"between {self._ends()}; in the file {self.time_system}"
        yield "interpolation", f"{self.interpolation}, degree {self.degree}"
        for note in self.notes:
            yield "note", note
        for comment in self.comments[:COMMENTS]:
            yield "comment", comment
        if len(self.comments) > COMMENTS:
            yield "", f"and {len(self.comments) - COMMENTS} comments more"


@dataclass(frozen=True, eq=False, repr=False)
class EphemerisFile(Printed):
    """What an ephemeris file holds: its arcs in the order of the file."""

    file: str
    originator: str | None
    created: str | None
    arcs: tuple[EphemerisArc, ...]

    def at(self, when: str | date) -> StateVector:
        """Return the state at `when` (UTC), from Earth or from the Moon as its arc has it.

        Where an arc ends and the next begins, that of the later one. ArgumentError outside them.
        """
        t = moment("when", when)
        for arc in reversed(self.arcs):
            if arc.covers(t):
                return arc.at_tdb(t)
        spans = "; ".join(
            f"{utc_from_tdb(x.first):%Y-%m-%d %H:%M:%S} to {utc_from_tdb(x.last):%Y-%m-%d %H:%M:%S}"
            for x in self.arcs
        )
        raise ArgumentError("when", f'"{when}", at which the file has no state', f"UTC {spans}")

    def _facts(self) -> Iterator[tuple[str, str]]:
        yield "file", self.file
        yield "originator", f"{self.originator or 'not stated'}, {self.created or 'no date'}"
        for number, arc in enumerate(self.arcs, start=1):
            yield f"arc {number}", ""
            yield from ((f"  {name}", text) for name, text in arc._facts())
