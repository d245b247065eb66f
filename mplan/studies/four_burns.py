"""The four calculations as one mission: their burns, its masses by the rocket equation, its dates.

A sketch of a crew to lunar orbit and back with one craft and one engine; `mplan.fly` flies the
mission itself, with its stages and the losses that real thrust costs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import exp
from typing import NamedTuple

from mplan.physics.constants import G0
from mplan.plan import Plan
from mplan.transfer_results import (
    Impulse,
    LunarOrbitInsertion,
    ReturnBurn,
    StateVector,
    Translunar,
)
from mplan.transfers import lunar_orbit_insertion, return_burn, translunar


@dataclass(frozen=True, eq=False)
class Sketch:
    """The three legs of a flight to lunar orbit and back, in flight order."""

    there: Translunar
    captured: LunarOrbitInsertion
    home: ReturnBurn

    @property
    def burns(self) -> tuple[Impulse, ...]:
        """All burns in flight order."""
        return self.there.burns + self.captured.burns + self.home.burns

    @property
    def delta_v(self) -> float:
        """Sum of the burns [m/s], integrated."""
        return sum(burn.delta_v for burn in self.burns)


class BudgetLine(NamedTuple):
    """A burn of the budget: masses before and after it and its propellant [kg]."""

    burn: Impulse
    before: float
    after: float

    @property
    def propellant(self) -> float:
        """What the burn draws [kg]."""
        return self.before - self.after


class TurningPoint(NamedTuple):
    """A turning point: its state, the centre it is told from."""

    event: str
    state: StateVector


class LegBeside(NamedTuple):
    """A leg as sketched and as flown [m/s]; None where the flown mission has no such burn."""

    leg: str
    conic: float
    sketched: float
    flown: float | None  # impulses
    losses: float | None


def sketch(
    departure: str,
    *,
    parking_altitude: str,
    inclination: str,
    lunar_altitude: str,
    time_there: str,
    stay: str,
    time_home: str,
) -> Sketch:
    """Return the mission of these arguments; ArgumentError as `mplan.transfers` raises it."""
    there = translunar(
        departure,
        time_of_flight=time_there,
        parking_altitude=parking_altitude,
        inclination=inclination,
        perilune_altitude=lunar_altitude,
    )
    captured = lunar_orbit_insertion(there)
    return Sketch(there, captured, return_burn(captured, stay=stay, time_of_flight=time_home))


def masses(sketched: Sketch, *, home_mass: float, isp: float) -> tuple[BudgetLine, ...]:
    """Return the budget that ends with `home_mass` [kg], one engine of `isp` [s] for all burns.

    Tsiolkovsky's equation from the last burn back to the first (Sutton & Biblarz 2017, ch. 4).
    """
    lines, after = [], home_mass
    for burn in reversed(sketched.burns):
        before = after * exp(burn.delta_v / (isp * G0))
        lines.append(BudgetLine(burn, before, after))
        after = before
    return tuple(reversed(lines))


def turning_points(sketched: Sketch) -> Iterator[TurningPoint]:
    """Return the states at which something changes, in flight order."""
    there, captured, home = sketched.there, sketched.captured, sketched.home
    yield TurningPoint("parking orbit, before the injection", there.before)
    yield TurningPoint("after the translunar injection", there.departure)
    yield TurningPoint("perilune, before the insertion", there.perilune)
    yield TurningPoint("lunar orbit, after the insertion", captured.orbit)
    yield TurningPoint("lunar orbit, before the return burn", home.before)
    yield TurningPoint("entry interface", home.entry)


def beside(sketched: Sketch, plan: Plan) -> Iterator[LegBeside]:
    """Return each leg of a sketch with the burns of a flown mission that do the same."""
    legs = (
        ("translunar injection", sketched.there, ("translunar injection",)),
        (
            "into lunar orbit",
            sketched.captured,
            ("lunar-orbit insertion", "lunar-orbit circularisation"),
        ),
        ("trans-Earth injection", sketched.home, ("trans-Earth injection",)),
    )
    for name, leg, burns in legs:
        flown = [burn for burn in plan.burns if burn.leg in burns]
        impulse = sum(burn.impulse for burn in flown) if flown else None
        losses = sum(sum(burn.losses.values()) for burn in flown) if flown else None
        yield LegBeside(name, leg.conic.delta_v, leg.delta_v, impulse, losses)
