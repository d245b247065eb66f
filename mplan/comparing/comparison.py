"""Two plans compared: all that differs between them."""

from __future__ import annotations

import os
from dataclasses import dataclass

from mplan.comparing import keys, masses, records
from mplan.comparing.dates import DatePair, dates
from mplan.comparing.figures import FigurePair, figures
from mplan.comparing.keys import KeyPair
from mplan.comparing.masses import ElementPair
from mplan.comparing.records import BurnPair, FindingPair, LimitPair, MomentPair
from mplan.plan import Plan, fly
from mplan.scenario import load


@dataclass(frozen=True)
class Comparison:
    """Plan `a` beside plan `b`: differences are those of B less A.

    `keys` has those that differ; the others have all there is, and each tells whether it differs.
    """

    a: Plan
    b: Plan
    keys: tuple[KeyPair, ...]
    figures: tuple[FigurePair, ...]
    dates: tuple[DatePair, ...]
    limits: tuple[LimitPair, ...]
    burns: tuple[BurnPair, ...]
    masses: tuple[ElementPair, ...]
    findings: tuple[FindingPair, ...]
    moments: tuple[MomentPair, ...]

    @property
    def same(self) -> bool:
        """Whether nothing differs, in what is written or in what is flown."""
        parts = (self.figures, self.dates, self.limits, self.burns, self.masses, self.moments)
        flown = any(x.differs for part in parts for x in part)
        return not (flown or self.keys or any(x.what != "same" for x in self.findings))


def compare(a: Plan, b: Plan) -> Comparison:
    """Return what differs between two plans, of whatever profiles and ships."""
    return Comparison(
        a,
        b,
        keys.differing(a.scenario, b.scenario),
        figures(a, b),
        dates(a, b),
        records.limits(a, b),
        records.burns(a, b),
        masses.elements(a, b),
        records.findings(a, b),
        records.moments(a, b),
    )


def with_file(plan: Plan, path: str | os.PathLike[str]) -> Comparison:
    """Return a plan beside that of another scenario file, which is read and flown.

    Raises ScenarioError, as `load` and `fly` do.
    """
    return compare(plan, fly(load(path)))
