"""Conditions for control authority, read from the states that the walk recorded.

Between ignition and cut-off of a stage of the climb, what its tanks hold follows from the mass
flown: an estimate, as the inertia that comes of it is. So it does in a climb that is flown with an
engine less (`engine_out`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from mplan.flight.record import BurnRecord, CastOff, Flight
from mplan.flight.state import Craft, State
from mplan.physics.climb.track import ClimbTrack
from mplan.scenario import BurnEvent, Engine, Scenario
from mplan.vehicle import inertia, mass
from mplan.vehicle.control import controller
from mplan.vehicle.control.condition import Airflow, Condition, Lit, Tasks
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import Ledger, main_engine

JUST_BEFORE = 0.1  # s before cut-off, while the engines still burn


def at_rest(
    flight: Flight,
    state: State,
    craft: Craft,
    when: str,
    tasks: Tasks,
    *,
    t: float,
    named: str | None = None,
) -> Condition:
    """Return the condition of a craft in a state, no main engine burning."""
    steered = controller.of(craft, flight.scenario.elements, named=named)
    return _of_craft(flight, state, craft, when=when, t=t, controller=steered, tasks=tasks)


def _of_craft(flight: Flight, state: State, craft: Craft, **how: Any) -> Condition:  # noqa: ANN401
    """Return the condition of a craft with the mass, inertia and lengths that it has in a state."""
    laid = inertia.laid(craft, flight.scenario)
    properties = inertia.of_laid(laid, state.ledger, state.carried(craft))
    return Condition(
        mass=properties.mass,
        craft=craft,
        scenario=flight.scenario,
        properties=properties,
        lengths=flight.lengths,
        feet=laid.feet,
        **how,
    )


def of_burn(
    flight: Flight, burn: BurnRecord, event: BurnEvent, *, separated: bool
) -> tuple[Condition, ...]:
    """Return the conditions of a burn: at ignition, where the air turns it most, at cut-off."""
    first, last = burn.elapsed, burn.elapsed + burn.duration
    one = of_record(flight, burn, event)
    begin = one.at("ignition", first, separated=separated)
    peak = last if one.track is None else greatest_moment(one.track, flight.scenario)
    if not first < peak < last:
        return begin, one.at("cut-off", last)
    return begin, one.at("greatest aerodynamic moment", peak), one.at("cut-off", last)


def at_ignition(flight: Flight, burn: BurnRecord, event: BurnEvent) -> Condition:
    """Return the condition of a burn at its ignition alone, as no separation is before it."""
    return of_record(flight, burn, event).at("ignition", burn.elapsed)


def along(flight: Flight, burn: BurnRecord, event: BurnEvent, count: int) -> tuple[Condition, ...]:
    """Return `count` conditions evenly over a burn of the climb."""
    one = of_record(flight, burn, event)
    times = np.linspace(burn.elapsed, burn.elapsed + burn.duration, count)
    return tuple(one.at("", float(t)) for t in times)


def greatest_moment(track: ClimbTrack, scenario: Scenario) -> float:
    """Return when dynamic pressure times angle of attack is greatest [s since lift-off]."""
    return float(track.t[int(np.argmax(_turning(track, scenario)))])


def peaks_of_moment(track: ClimbTrack, scenario: Scenario) -> list[float]:
    """Return when that product is greater than before and after [s since lift-off]."""
    turning = _turning(track, scenario)
    inner = turning[1:-1]
    peaks = (inner > turning[:-2]) & (inner >= turning[2:])
    return track.t[1:-1][peaks].tolist()


def _turning(track: ClimbTrack, scenario: Scenario) -> np.ndarray:
    """Return dynamic pressure times angle of attack [Pa rad] along a climb."""
    return track.dynamic_pressure * _attack(
        track, scenario, track.altitude, track.airspeed, track.angle_of_attack
    )


@dataclass(frozen=True)
class BurnConditions:
    """A burn whose conditions are asked for, over at `end` [s since lift-off].

    `track` is that of the climb, None of other burns; `cast_off` is what was while it lasted.
    """

    flight: Flight
    burn: BurnRecord
    event: BurnEvent
    track: ClimbTrack | None
    end: float
    cast_off: tuple[CastOff, ...]

    def at(self, when: str, t: float, *, separated: bool = False) -> Condition:
        """Return the condition at a time of the burn, right after a separation or not."""
        track, burn, scenario = self._covering(t), self.burn, self.flight.scenario
        state = self.state(t)
        craft = state.joined(burn.element)
        return _of_craft(
            self.flight,
            state,
            craft,
            when=when,
            t=t,
            controller=controller.of(craft, scenario.elements, burn.element, self.event.control),
            tasks=self._tasks(separated=separated),
            lit=self._lit(track, t, craft),
            air=None if track is None else _air(track, scenario, self._burning(t)),
        )

    def state(self, t: float) -> State:
        """Return the state at a time of the burn."""
        track = self._covering(t)
        if self.burn.leg == "climb" and track is not None:
            return self._between(track, t)
        return self.burn.at_cut_off if t >= self.end else self.burn.at_ignition

    def _covering(self, t: float) -> ClimbTrack | None:
        """Return the track of the climb if it was flown as far as this."""
        flown = self.track is not None and len(self.track.t) > 1 and t <= self.track.t[-1] + 1.0
        return self.track if flown else None

    def _tasks(self, *, separated: bool) -> Tasks:
        powered = self._engine().purpose == "main"
        return Tasks(steer=powered, hold=True, turn=not powered, null_separation=separated)

    def _engine(self) -> Engine:
        return self.flight.scenario.elements[self.burn.element].engines[self.burn.engine]

    def _between(self, track: ClimbTrack, t: float) -> State:
        """Return the state at a time of the climb: what has been dropped, what tanks still hold.

        Boosters burn evenly; the stage has burned what the mass flown then asks for.
        """
        gone = {name for each in self.cast_off if each.t <= t for name in each.elements}
        kept = self.burn.at_ignition.without(gone)
        begun, end = self._drawn(t, 0.0), self.burn.at_cut_off.ledger
        craft = kept.joined(self.burn.element)
        burns = sum([begun.propellant(x) - end.propellant(x) for x in self._lights(craft)])
        full = mass.of(craft, kept.scenario, begun, kept.crew, kept.cargo)
        drawn = full - _value(track, track.mass, t)
        share = min(1.0, max(0.0, drawn / burns)) if burns > 0.0 else 0.0
        return evolved(kept, ledger=self._drawn(t, share))

    def _lights(self, craft: Craft) -> list[str]:
        """Return the elements of a craft whose tanks this burn draws on, boosters apart."""
        return [name for name in craft if name not in self.event.beside]

    def _drawn(self, t: float, share: float) -> Ledger:
        """Return the tanks with a share drawn of what the stage burns, and of boosters by time."""
        full, end = self.burn.at_ignition.ledger, self.burn.at_cut_off.ledger.levels
        shares = {name: self.burned_beside(name, t) for name in self.event.beside}
        levels = {
            key: x - (x - end[key]) * shares.get(key[0], share) for key, x in full.levels.items()
        }
        return replace(full, levels=levels)

    def burned_beside(self, name: str, t: float) -> float:
        """Return the share of its propellant that a booster has burned."""
        return min(1.0, (t - self.burn.elapsed) / self.lasts(name))

    def lasts(self, name: str) -> float:
        """Return how long a booster burns in the plan, from lift-off on [s]."""
        burn = self.burn
        over = next(
            (each.t for each in burn.cast_off if name in each.elements),
            burn.elapsed + burn.duration,
        )
        return over - burn.elapsed

    def _lit(self, track: ClimbTrack | None, t: float, craft: Craft) -> tuple[Lit, ...]:
        """Return the main engines that burn, each at the same share of its rated thrust."""
        main = self.burning_at(t, craft)
        share = self._throttled(track, t, sum(each.count * each.thrust for each in main))
        return tuple(replace(each, thrust=share * each.thrust) for each in main)

    def burning_at(self, t: float, craft: Craft) -> tuple[Lit, ...]:
        """Return the main engines that burn, at their rated thrust."""
        names = [self.burn.element, *self.event.beside]
        keys = [self.burn.engine, *(None for _ in self.event.beside)]
        rated = [
            (name, *main_engine(self.flight.scenario.elements[name], key))
            for name, key in zip(names, keys, strict=True)
            if name in craft
        ]
        return tuple(
            Lit(name, key, engine.count, engine.thrust_vacuum)
            for name, key, engine in rated
            if engine.purpose == "main"
        )

    def _throttled(self, track: ClimbTrack | None, t: float, rated: float) -> float:
        """Return the thrust then, as a share of the rated one in vacuum."""
        burn = self.burn
        if track is not None and rated:
            return _value(track, track.thrust, self._burning(t)) / rated
        if burn.leg == "powered descent" and burn.at_cut_off.descent is not None:
            flown = burn.at_cut_off.descent.track
            return float(np.interp(t - burn.elapsed, flown.t, flown.throttle))
        return 1.0

    def _burning(self, t: float) -> float:
        """Return the time nearest to `t` at which a stage in flight burns at its full thrust."""
        burn = self.burn
        begun = burn.elapsed + (self._engine().build_up if burn.elapsed else 0.0)
        return max(begun, min(t, self.end - JUST_BEFORE))


def of_record(flight: Flight, burn: BurnRecord, event: BurnEvent) -> BurnConditions:
    """Return a burn as planned, for its conditions to be asked for."""
    track = burn.at_cut_off.climb.track if burn.leg == "climb" else None
    end = burn.elapsed + burn.duration
    return BurnConditions(flight, burn, event, track, end, burn.cast_off)


def _value(track: ClimbTrack, values: np.ndarray, t: float) -> float:
    return float(np.interp(t, track.t, values))


def _air(track: ClimbTrack, scenario: Scenario, t: float) -> Airflow:
    """Return dynamic pressure and angle of attack at a time of the climb."""
    altitude, airspeed, flown, pressure = (
        _value(track, values, t)
        for values in (
            track.altitude,
            track.airspeed,
            track.angle_of_attack,
            track.dynamic_pressure,
        )
    )
    return Airflow(pressure, float(_attack(track, scenario, altitude, airspeed, flown)))


def _attack(
    track: ClimbTrack,
    scenario: Scenario,
    altitude: np.ndarray | float,
    airspeed: np.ndarray | float,
    flown: np.ndarray | float,
) -> np.ndarray:
    """Return the angle of attack [rad] flown and that of the design wind together.

    The wind grows evenly with the altitude up to that of maximum dynamic pressure. Where a wind
    is flown through, the design wind does not come on top: the larger angle counts.
    """
    high = max(1.0, float(track.altitude[int(np.argmax(track.dynamic_pressure))]))
    wind = scenario.control.design_wind * np.clip(np.divide(altitude, high), 0.0, 1.0)
    blown = np.arctan2(wind, airspeed)
    return np.maximum(flown, blown) if scenario.climb.wind else flown + blown
