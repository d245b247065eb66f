"""A burn of the climb flown on once an engine has stopped: what its control has to hold then.

The engine that has stopped leaves a moment: its own thrust about the craft's axis, at the throttle
of the others. A booster whose engine has stopped burns slower than its twin. What it holds more
draws the centre of mass to its side, and the whole thrust, which stays about the axis, turns the
craft the same way. Of a static balance as in NASA TN D-4662 (thrust-vector control requirements of
large launch vehicles: winds, offsets, misalignment and unequal thrust, added up).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from mplan.flight import ascent
from mplan.flight.controlling.conditions import BurnConditions
from mplan.flight.record import BurnRecord, CastOff, Flight
from mplan.flight.state import Craft
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.climb.launch_vehicle import EngineOut
from mplan.scenario import Engine
from mplan.vehicle.control.condition import Condition, Lit
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import main_engine


@dataclass(frozen=True)
class BurnWithEngineOut(BurnConditions):
    """A burn, planned otherwise, in which an engine of `element` stops at `t` [s since lift-off].

    `element` is the one that burns, or a booster beside it.
    """

    element: str = ""
    t: float = 0.0

    @property
    def rated(self) -> tuple[str, Engine]:
        """The engines one of which stops, by their name, as the scenario has them."""
        own = self.burn.engine if self.element == self.burn.element else None
        return main_engine(self.flight.scenario.elements[self.element], own)

    def at(self, when: str, t: float, *, separated: bool = False) -> Condition:
        """Return the condition at a time of the burn, with what the stopped engine leaves."""
        found = super().at(when, t, separated=separated)
        if t < self.t or self.element not in found.craft:
            return found
        (key, engine), given = self.rated, 0.0
        if found.lit:  # all that burn do so at one share of their rated thrust
            first = found.lit[0]
            given = first.thrust / first.rated(self.flight.scenario).thrust_vacuum
        lost = Lit(self.element, key, 1, given * engine.thrust_vacuum)
        return evolved(found, lost=lost, uneven=self.kept_beside(t))

    def burning_at(self, t: float, craft: Craft) -> tuple[Lit, ...]:
        """Return the main engines that burn, at their rated thrust."""
        every = super().burning_at(t, craft)
        if t < self.t:
            return every
        less = [replace(x, count=x.count - (x.element == self.element)) for x in every]
        return tuple(x for x in less if x.count)

    def burned_beside(self, name: str, t: float) -> float:
        """Return the share of its propellant that a booster has burned."""
        whole = super().burned_beside(name, t)
        return whole - self._idle(t) / self.lasts(name) if name == self.element else whole

    def kept_beside(self, t: float) -> float:
        """Return what the body of a booster holds more than its twin [kg]; 0 of a core's engine."""
        if self.element not in self.event.beside:
            return 0.0
        begun, end = self.burn.at_ignition.ledger, self.burn.at_cut_off.ledger
        burns = begun.propellant(self.element) - end.propellant(self.element)
        return burns * self._idle(t) / self.lasts(self.element)

    def _idle(self, t: float) -> float:
        """Return how long all its engines could burn on what the stopped one has left [s]."""
        return max(0.0, t - self.t) / self.rated[1].count


def of_climb(flight: Flight, out: EngineOut, flown: LaunchClimb) -> BurnWithEngineOut:
    """Return the burn of a climb `flown` with an engine out, for its conditions to be asked for.

    LookupError where the plan has not lit that stage.
    """
    stage = flown.vehicle.stages[out.stage].name
    lit = (x for x in flight.passages if x.burn and x.burn.leg == "climb")
    passage = next((x for x in lit if x.burn and x.burn.element == stage), None)
    if passage is None or passage.burn is None:
        raise LookupError(f"the plan does not light {stage} in the climb")
    part = flown.parts[out.stage]
    return BurnWithEngineOut(
        flight=flight,
        burn=passage.burn,
        event=passage.burn_event,
        track=flown.track,
        end=min(part.cut_off, float(flown.track.t[-1])),
        cast_off=tuple(_as_flown(passage.burn, flown)),
        element=out.booster or stage,
        t=part.ignition + out.after,
    )


def _as_flown(burn: BurnRecord, flown: LaunchClimb) -> list[CastOff]:
    """Return what a burn casts off, when the climb as flown has it; what stays on is left out."""
    went = {x.name: x.t for x in flown.track.events if x.what == "jettisoned"}
    named = [(ascent.together(x.elements), x) for x in burn.cast_off]
    return [x._replace(t=went[name]) for name, x in named if name in went]
