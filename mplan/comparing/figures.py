"""The figures of two plans: mass, height, climb, margins, landing, entry, days."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.checks.light import sun_at_landing
from mplan.comparing.pairing import paired
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, DEG, G0
from mplan.plan import Plan
from mplan.scenario.wording import plain
from mplan.vehicle.stack import on_pad


class Figure(NamedTuple):
    """A number of a plan in its `unit`, good for so many `digits` behind the point."""

    name: str
    unit: str
    digits: int
    value: float


class FigurePair(NamedTuple):
    """One number in two plans; None where it does not arise, or is not flown as far."""

    name: str
    unit: str
    digits: int
    a: float | None
    b: float | None

    @property
    def difference(self) -> float | None:
        """That of B less that of A; None where one has none."""
        return None if self.a is None or self.b is None else self.b - self.a

    @property
    def differs(self) -> bool:
        """Whether they differ by what the digits tell, or one has none."""
        apart = self.difference
        return apart is None or abs(apart) >= 0.5 * 10.0**-self.digits


def figures(a: Plan, b: Plan) -> tuple[FigurePair, ...]:
    """Return the figures of both plans, those of a ship launched on its own under its name."""
    pairs = paired(list(of(a)), list(of(b)), lambda x: x.name)
    return tuple(_pair(one, other) for one, other in pairs)


def _pair(one: Figure | None, other: Figure | None) -> FigurePair:
    known = one or other
    if known is None:
        raise ValueError("a pair of nothing")
    values = (x and x.value for x in (one, other))
    return FigurePair(known.name, known.unit, known.digits, *values)


def of(plan: Plan) -> Iterator[Figure]:
    """Yield the figures of one plan, as far as it is flown."""
    tight = plan.tightest
    yield Figure("decisions open", "", 0, plan.decisions_open)
    if tight:
        yield Figure("tightest margin", "m/s", 1, tight.margin)
    yield Figure("velocity required, all burns", "m/s", 1, sum(x.required for x in plan.every_burn))
    spent = sum(x.propellant for x in plan.every_burn)
    yield Figure("propellant, all burns", "t", 2, spent / 1e3)
    yield Figure("time from lift-off to the end", "d", 2, plan.flight.duration / DAY)
    for name, ship in {**plan.flight.others, "": plan.flight}.items():
        for each in (*_on_the_pad(ship), *_of_climb(ship)):
            yield each._replace(name=f"{plain(name)}: {each.name}") if name else each
    yield from _of_landing(plan.flight)
    yield from _of_entry(plan.flight)


def _on_the_pad(flight: Flight) -> Iterator[Figure]:
    stack = on_pad(flight.scenario)
    yield Figure("mass on the pad", "t", 2, stack.mass / 1e3)
    yield Figure("height on the pad", "m", 2, stack.height)
    yield Figure("width on the pad", "m", 2, stack.width)


def _of_climb(flight: Flight) -> Iterator[Figure]:
    climb = flight.climb
    if climb is None:
        return
    yield Figure("max q", "kPa", 1, climb.most_dynamic_pressure.value / 1e3)
    yield Figure("greatest acceleration of the climb", "g0", 2, climb.most_acceleration.value / G0)
    yield Figure("losses of the climb", "m/s", 1, sum(climb.losses.values()))
    if climb.reached:
        yield Figure("propellant left at insertion", "t", 2, climb.left / 1e3)


def _of_landing(flight: Flight) -> Iterator[Figure]:
    descent = flight.end.descent
    if descent is None:
        return
    yield Figure("velocity of the powered descent", "m/s", 1, descent.delta_v)
    yield Figure("hover left at touchdown", "s", 1, descent.seconds_left)
    sun = sun_at_landing(flight)
    if sun is not None:
        yield Figure("Sun at touchdown", "deg", 1, sun / DEG)


def _of_entry(flight: Flight) -> Iterator[Figure]:
    entry = flight.end.entry
    if entry is None:
        return
    yield Figure("entry angle", "deg", 2, entry.angle / DEG)
    yield Figure("greatest load of the entry", "g0", 2, entry.peak_load)
    yield Figure("peak heating, upper end", "MW/m2", 2, entry.heat.upper_peak / 1e6)
