"""One moment of a climb: what is in the stack then, what its tanks hold; and a way out of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from mplan.checks.replay import paired
from mplan.flight.record import Flight
from mplan.physics.climb.track import Track
from mplan.physics.constants import G0
from mplan.scenario import Scenario
from mplan.vehicle import ledger
from mplan.vehicle.ledger import Ledger, main_engine, thrust


class Way(NamedTuple):
    """A way out: its name, why it is closed ("" where it is open), and a figure in words.

    `margin` is what the figure leaves to its limit, in units of its own; the least is the worst.
    """

    name: str
    closed: str
    figure: str = ""
    margin: float = 0.0


@dataclass(frozen=True)
class Moment:
    """A point of the climb: `index` into its track. On the pad, before lift-off, None."""

    flight: Flight
    index: int | None

    @property
    def scenario(self) -> Scenario:
        """What is flown."""
        return self.flight.scenario

    @property
    def track(self) -> Track:
        """The climb's track."""
        return self.flight.end.climb.track

    @property
    def t(self) -> float:
        """Time since lift-off [s]."""
        return 0.0 if self.index is None else float(self.track.t[self.index])

    @cached_property
    def stack(self) -> tuple[str, ...]:
        """What is still in the stack, from the foot up."""
        gone = {
            name
            for moment, event in paired(self.flight)
            if event is not None and event.do == "jettison" and moment.elapsed <= self.t
            for name in event.elements
        }
        return tuple(name for name in self.scenario.stack if name not in gone)

    @cached_property
    def tanks(self) -> Ledger:
        """What the tanks hold, each burn's propellant drawn evenly over its time."""
        tanks = ledger.filled(self.scenario)
        lit = [event for _, event in paired(self.flight) if event and event.do == "burn"]
        for burn, event in zip(self.flight.burns, lit, strict=False):
            since = self.t - burn.elapsed
            if since <= 0.0:
                break
            engine = self.scenario.elements[burn.element].engines[burn.engine]
            used = burn.propellant * min(1.0, since / burn.duration)
            tanks = tanks.after_burn(burn.element, burn.engine, engine, used, 0.0)
            for other in event.beside:
                tanks = self._beside(tanks, other, since)
        return tanks

    def _beside(self, tanks: Ledger, other: str, since: float) -> Ledger:
        """Return the tanks after an element has burned beside a stage for `since` [s]."""
        key, motor = main_engine(self.scenario.elements[other])
        flow = thrust(motor) / (motor.isp_vacuum * G0)
        used = min(tanks.usable(other, motor), flow * since)
        return tanks.after_burn(other, key, motor, used, since)
