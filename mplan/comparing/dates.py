"""The dates of two plans: lift-off of every ship, perilune, touchdown, the way home, splash."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import NamedTuple

from mplan.comparing.pairing import paired
from mplan.physics.bodies.time import utc_from_tdb
from mplan.plan import Plan
from mplan.scenario.wording import plain


class Dated(NamedTuple):
    """What happens, and when [UTC]."""

    name: str
    when: datetime


class DatePair(NamedTuple):
    """When [UTC] the same happens in two plans; None where it does not, or is not known."""

    name: str
    a: datetime | None
    b: datetime | None

    @property
    def later(self) -> float | None:
        """By how much [s] it is later in B; None where one has none."""
        return None if self.a is None or self.b is None else (self.b - self.a).total_seconds()

    @property
    def differs(self) -> bool:
        """Whether they differ by the seconds that are shown, or one has none."""
        return self.later is None or abs(self.later) >= 0.5


def dates(a: Plan, b: Plan) -> tuple[DatePair, ...]:
    """Return the dates of both plans."""
    found = []
    for one, other in paired(list(of(a)), list(of(b)), lambda x: x.name):
        name = one.name if one else other.name if other else ""
        found.append(DatePair(name, one and one.when, other and other.when))
    return tuple(found)


def of(plan: Plan) -> Iterator[Dated]:
    """Yield the dates of one plan, as far as it is flown."""
    flight = plan.flight
    for name, ship in flight.others.items():
        if ship.dated:
            yield Dated(f"{plain(name)}: lift-off", ship.utc(0.0))
    if not flight.dated:
        return
    yield Dated("lift-off", flight.utc(0.0))
    if flight.end.departing and flight.burn_of("translunar injection"):
        yield Dated("perilune", utc_from_tdb(flight.end.outbound.perilune.t))
    for moment in flight.moments:
        if moment.kind == "land":
            yield Dated("touchdown", flight.utc(moment.elapsed))
    home = flight.burn_of("trans-Earth injection")
    if home:
        yield Dated("trans-Earth injection", flight.utc(home.elapsed))
    if flight.splash:
        yield Dated("splash", utc_from_tdb(flight.splash.t))
