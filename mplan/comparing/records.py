"""Burns, limits, findings and events of two plans, each beside its like."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable
from typing import Literal, NamedTuple

from mplan.checks.finding import Finding
from mplan.checks.limits import LimitRow
from mplan.checks.limits import of as limits_of
from mplan.comparing.pairing import paired
from mplan.comparing.states import same_state
from mplan.flight.record import BurnRecord, Moment
from mplan.plan import Plan

SPEED, MASS, TIME = 0.05, 0.5, 0.5  # m/s, kg, s: what tables tell apart


class BurnPair(NamedTuple):
    """A burn in two plans; None where one has none like it."""

    a: BurnRecord | None
    b: BurnRecord | None

    @property
    def differs(self) -> bool:
        """Whether what it takes, what is left or what flies it is another."""
        a, b = self
        if a is None or b is None:
            return True
        same = (a.name, a.element, a.engine) == (b.name, b.element, b.engine)
        speeds = ((x.required, x.available, x.reserved, x.margin) for x in (a, b))
        close = all(abs(x - y) < SPEED for x, y in zip(*speeds, strict=True))
        return not (same and close and abs(a.propellant - b.propellant) < MASS)


class LimitPair(NamedTuple):
    """A figure beside its limit in two plans; None where one has none like it."""

    a: LimitRow | None
    b: LimitRow | None

    @property
    def differs(self) -> bool:
        """Whether the figure, or its limit, is another, by the digits that it is good for."""
        a, b = self
        if a is None or b is None:
            return True
        enough = 0.5 * 10.0**-a.digits
        return not (_near(a.used, b.used, enough) and _near(a.limit, b.limit, enough))


class FindingPair(NamedTuple):
    """A finding in two plans; None where one has none like it."""

    a: Finding | None
    b: Finding | None

    @property
    def what(self) -> Literal["gained", "lost", "changed", "same"]:
        """What becomes of it from A to B."""
        a, b = self
        if a is None:
            return "gained"
        if b is None:
            return "lost"
        return "same" if same_state(a, b) else "changed"


class MomentPair(NamedTuple):
    """An event in two plans, each on its own clock; None where one has none like it."""

    a: Moment | None
    b: Moment | None

    @property
    def later(self) -> float | None:
        """By how much [s] it comes later after lift-off in B; None where one has none."""
        return None if self.a is None or self.b is None else self.b.elapsed - self.a.elapsed

    @property
    def differs(self) -> bool:
        """Whether its time since lift-off, or what it happens to, or its mass is another."""
        a, b = self
        if a is None or b is None:
            return True
        close = abs(b.elapsed - a.elapsed) < TIME and abs(a.mass - b.mass) < 10.0 * MASS
        return not (close and a.craft == b.craft)


def burns(a: Plan, b: Plan) -> tuple[BurnPair, ...]:
    """Return the burns of both, by their names and elements, else by name, else by leg."""
    return tuple(
        BurnPair(*pair)
        for pair in paired(
            a.every_burn,
            b.every_burn,
            lambda x: (x.name, x.element),
            lambda x: x.name,
            lambda x: (x.leg, x.element),
        )
    )


def limits(a: Plan, b: Plan) -> tuple[LimitPair, ...]:
    """Return the figures beside limits of both, by kind and name.

    One that is the only one of its kind in either plan is the same, whatever its name.
    """
    first, second = limits_of(a.flight), limits_of(b.flight)
    single = _single(first) & _single(second)

    def by_kind(row: LimitRow) -> Hashable:
        return row.kind if row.kind in single else row

    pairs = paired(first, second, lambda x: (x.kind, x.name), by_kind)
    return tuple(LimitPair(*each) for each in pairs)


def findings(a: Plan, b: Plan) -> tuple[FindingPair, ...]:
    """Return the findings of both, the same first, then those of one check about one thing."""
    pairs = paired(
        a.findings,
        b.findings,
        lambda x: (x.check, x.event, x.ship, x.text),
        lambda x: (x.check, x.event, x.ship, x.subject),
        lambda x: (x.check, x.event, x.ship),
    )
    return tuple(FindingPair(*each) for each in pairs)


def moments(a: Plan, b: Plan) -> tuple[MomentPair, ...]:
    """Return the events of both, by what they are called."""
    pairs = paired(a.every_moment, b.every_moment, lambda x: (x.event, x.kind), lambda x: x.event)
    return tuple(MomentPair(*each) for each in pairs)


def _single(rows: Iterable[LimitRow]) -> set[str]:
    """Return the kinds that have one row."""
    return {kind for kind, count in Counter(x.kind for x in rows).items() if count == 1}


def _near(one: float | None, other: float | None, enough: float) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) < enough
