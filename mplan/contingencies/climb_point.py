"""One point of a flown climb, with the state of the stack there; and an abort mode from it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import Craft, State
from mplan.physics.climb.track import ClimbTrack
from mplan.physics.rocket import mass_flow
from mplan.scenario import BurnEvent, Scenario
from mplan.vehicle import mass
from mplan.vehicle.ledger import Ledger, main_engine, thrust


class AbortMode(NamedTuple):
    """An abort mode: its name, why it is closed ("" where it is open), and a figure in words.

    `margin` is what the figure leaves to its limit, in units of its own; the least is the worst.
    """

    name: str
    closed: str
    figure: str = ""
    margin: float = 0.0


@dataclass(frozen=True)
class ClimbPoint:
    """A point of the climb: `index` into its track. On the pad, before lift-off, None.

    Of a climb that has left the plan, `flown` is its track and `left` the state of the stack there.
    """

    flight: Flight
    index: int | None
    flown: ClimbTrack | None = None
    left: State | None = None

    @property
    def scenario(self) -> Scenario:
        """What is flown."""
        return self.flight.scenario

    @property
    def track(self) -> ClimbTrack:
        """The climb's track."""
        return self.flight.end.climb.track if self.flown is None else self.flown

    @property
    def t(self) -> float:
        """Time since lift-off [s]."""
        return 0.0 if self.index is None else float(self.track.t[self.index])

    @property
    def stack(self) -> Craft:
        """What is still in the stack, from the foot up."""
        return self.state.craft[0]

    @cached_property
    def state(self) -> State:
        """The state then, as recorded; within a burn, less what has been drawn and jettisoned."""
        if self.left is not None:
            return self.left
        if self.index is None:
            return self.flight.start
        for each in self.flight.passages:
            burn = each.burn
            if burn is None or burn.leg != "climb" or self.t >= burn.at_cut_off.elapsed:
                continue
            if self.t < burn.elapsed or not isinstance(each.event, BurnEvent):
                return each.before
            return self._within(each.event.beside, burn, self.index)
        return [x for x in self.flight.burns if x.leg == "climb"][-1].at_cut_off

    def _within(self, beside: Craft, burn: BurnRecord, index: int) -> State:
        """Return the state within a burn: what the track has lost has been drawn from its tanks."""
        gone = {x for each in burn.cast_off if self._is_past(each.t, index) for x in each.elements}
        tanks = burn.at_ignition.ledger
        for other in beside:
            tanks = self._beside(tanks, other, burn, dropped=other in gone)
        left = burn.at_ignition.without(gone)
        weighs = mass.of(left.craft[0], self.scenario, tanks, left.crew, left.cargo)
        lost = weighs - float(self.track.mass[index])
        engine = self.scenario.elements[burn.element].engines[burn.engine]
        drawn = min(max(0.0, lost), tanks.usable(burn.element, engine))
        running = burn.hold_down + self.t - burn.elapsed
        spent = tanks.after_burn(burn.element, burn.engine, engine, drawn, running)
        return replace(left, ledger=spent, elapsed=self.t)

    def _is_past(self, t: float, index: int) -> bool:
        """Tell whether what happens at `t` [s] has happened: two points share its time."""
        times = self.track.t
        after = float(times[min(index + 1, len(times) - 1)])
        return self.t > t or (self.t == t and after > t)

    def _beside(self, tanks: Ledger, other: str, burn: BurnRecord, *, dropped: bool) -> Ledger:
        """Return the tanks once an element has burned beside a stage: empty when it is dropped."""
        key, motor = main_engine(self.scenario.elements[other])
        running = burn.hold_down + self.t - burn.elapsed
        whole = tanks.usable(other, motor)
        flow = mass_flow(thrust(motor), motor.isp_vacuum)
        used = whole if dropped else min(whole, flow * running)
        return tanks.after_burn(other, key, motor, used, running)
