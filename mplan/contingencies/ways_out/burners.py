"""The engines that can still push a craft once something has failed, and what keeps others back.

Main engines burn away from their nozzles: what these point at has to go first. Thrusters push with
those that fire forward together. A craft that an engine cannot hold straight has no use of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from mplan.contingencies.ways_out.failures import FailureName
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.state import Craft, State
from mplan.physics.rocket import delta_v, mass_flow
from mplan.scenario import Engine
from mplan.scenario.wording import plain
from mplan.vehicle import inertia
from mplan.vehicle.control import authority, controller
from mplan.vehicle.control.condition import Condition, Lit, Tasks
from mplan.vehicle.control.contribution import AXES, WORDS
from mplan.vehicle.evolved import evolved
from mplan.vehicle.ledger import Key

PUSHING = (
    "main",
    "thrusters",
)  # purposes of engines that may bring home, in this order
ENGINE_FAILURES = ("main engine lost", "one engine lost")
ROUNDED = 1e-6  # s: burns that use a rating up in parts come out beside it by their rounding


class LostEngines(NamedTuple):
    """What burns no more: engines that are gone, and clusters that have one engine less."""

    gone: frozenset[Key] = frozenset()
    fewer: frozenset[Key] = frozenset()


NOTHING = LostEngines()


class Burner(NamedTuple):
    """An engine that may push: `thrust` [N] of all that burn together, `isp` [s].

    `first` must be dropped before it is lit: its nozzles point at that. `less` is how many of its
    cluster have failed.
    """

    element: str
    engine: str
    thrust: float
    isp: float
    first: Craft = ()
    less: int = 0

    @property
    def key(self) -> Key:
        """Element and engine."""
        return self.element, self.engine

    @property
    def flow(self) -> float:
        """What it draws [kg/s]."""
        return mass_flow(self.thrust, self.isp)

    @property
    def title(self) -> str:
        """What people call it."""
        return f"{plain(self.element)}, {plain(self.engine)}"

    def rated(self, state: State) -> Engine:
        """Return the engine as the scenario has it."""
        return state.scenario.elements[self.element].engines[self.engine]

    def usable(self, state: State) -> float:
        """Return what it can still draw [kg]."""
        return state.ledger.usable(self.element, self.rated(state))

    def available(self, state: State, craft: Craft) -> float:
        """Return what its tanks still give a craft [m/s]."""
        mass = state.mass(craft)
        return delta_v(self.isp, mass, mass - self.usable(state))

    def within_rating(self, state: State, craft: Craft) -> float:
        """Return the velocity [m/s] that the burn time left to its qualification gives a craft."""
        burned = state.ledger.seconds.get(self.key, 0.0)
        left = max(0.0, self.rated(state).qualified_duration - burned)
        mass = state.mass(craft)
        return delta_v(self.isp, mass, mass - min(0.99 * mass, left * self.flow))


def lost_at(point: CabinPoint, failure: FailureName) -> LostEngines:
    """Return what burns no more at a point: the engine of the burn that is on, or comes next.

    Once the last burn is over it is that one's. Of a cluster that loses one engine the others burn
    on; one engine alone is then lost whole.
    """
    burn = point.next_burn or _last_burn(point)
    if burn is None or failure not in ENGINE_FAILURES:
        return NOTHING
    element = point.flight.scenario.elements[burn.element]
    key = (burn.element, burn.engine)
    if failure == "one engine lost" and element.engines[burn.engine].count // element.bodies > 1:
        return LostEngines(fewer=frozenset((key,)))
    return LostEngines(gone=frozenset((key,)))


def _last_burn(point: CabinPoint) -> BurnRecord | None:
    """Return the last burn of an engine that this craft still has."""
    own = [x for x in point.flight.burns if x.lit and x.element in point.craft]
    return own[-1] if own else None


def burners(state: State, craft: Craft, lost: LostEngines = NOTHING) -> Iterator[Burner]:
    """Yield the engines of a craft that are not lost and have propellant, main engines first."""
    for purpose in PUSHING:
        for name in craft:
            if state.scenario.elements[name].inside in craft:
                continue
            for key, engine in state.scenario.elements[name].engines.items():
                if engine.purpose == purpose and (name, key) not in lost.gone:
                    found = _burner(state, craft, name, key, lost)
                    if found.usable(state) > 0.0:
                        yield found


def _burner(state: State, craft: Craft, name: str, key: str, lost: LostEngines) -> Burner:
    engine = state.scenario.elements[name].engines[key]
    less = 1 if (name, key) in lost.fewer else 0
    if engine.purpose == "thrusters":
        together = engine.settling_count or engine.count
        return Burner(name, key, (together - less) * engine.thrust_vacuum, engine.isp_vacuum)
    thrust = (engine.count - less) * engine.thrust_vacuum
    return Burner(name, key, thrust, engine.isp_vacuum, behind_nozzles(state, craft, name), less)


def behind_nozzles(state: State, craft: Craft, element: str) -> Craft:
    """Return what the nozzles of an element of a craft point at, the nearest first.

    A lander on a ship hangs from its nose upside down (`inertia.hanging`); all else stands as on
    the pad. What stands beside another element is in nobody's way.
    """
    elements = state.scenario.elements
    line = [x for x in inertia.in_line(craft, state.scenario) if elements[x].beside not in craft]
    if element not in line:
        return ()
    place = line.index(element)
    if element in inertia.hanging(craft, state.scenario):
        return tuple(line[place + 1 :])
    return tuple(reversed(line[:place]))


def uncontrolled(flight: Flight, state: State, craft: Craft, burner: Burner) -> str:
    """Return why a craft cannot be held straight while an engine burns, "" where it can.

    Required and available as `vehicle.control` has them at ignition, with the engine that has
    failed counted among the causes. A gimbal that is not stated bars nothing: it is asked for
    elsewhere.
    """
    at = _condition(flight, state, craft, burner)
    if at.controller is None:
        return "no active guidance element controls the craft"
    found = authority.of(at)
    for axis in AXES:
        share = found.share(axis)
        if share is not None and share > 1.0:
            return (
                f"control authority in {WORDS[axis]} is {100.0 / share:.0f} % of what is required"
            )
    return ""


def _condition(flight: Flight, state: State, craft: Craft, burner: Burner) -> Condition:
    laid = inertia.laid(craft, state.scenario)
    properties = inertia.of_laid(laid, state.ledger, state.carried(craft))
    engine = burner.rated(state)
    lit: tuple[Lit, ...] = ()
    main = engine.purpose == "main"
    if main:
        lit = (Lit(burner.element, burner.engine, engine.count, engine.thrust_vacuum),)
    at = Condition(
        when="ignition",
        t=state.elapsed,
        mass=properties.mass,
        craft=craft,
        scenario=state.scenario,
        properties=properties,
        lengths=flight.lengths,
        feet=laid.feet,
        controller=controller.of(craft, state.scenario.elements, burner.element),
        tasks=Tasks(steer=main, hold=True, turn=not main),
        lit=lit,
    )
    return (at.engine_out() or at) if burner.less else at


def unqualified(state: State, burner: Burner, seconds: float, starts: int) -> str:
    """Return why an engine is not qualified to burn for `seconds` more, in `starts`; else ""."""
    engine = burner.rated(state)
    burned = state.ledger.seconds.get(burner.key, 0.0) + seconds
    lit = state.ledger.starts.get(burner.key, 0) + starts
    if burned > engine.qualified_duration + ROUNDED:
        most = engine.qualified_duration
        return f"it burns {burned:,.0f} s in all and is qualified for {most:,.0f} s"
    if lit > engine.starts:
        return f"it is started {lit} times and is qualified for {engine.starts}"
    return ""


def burned(state: State, craft: Craft, burner: Burner, kilograms: float, seconds: float) -> State:
    """Return the state once an engine has drawn propellant [kg] in a time [s], and what goes first.

    The craft is then what burns; what its nozzles pointed at has been dropped.
    """
    ledger = state.ledger.after_burn(
        *burner.key, burner.rated(state), min(kilograms, burner.usable(state)), seconds
    )
    return evolved(state.without(burner.first), ledger=ledger)


def given_by(burn: BurnRecord, elapsed: float) -> float:
    """Return what a burn at steady thrust has given [m/s] at a time [s since lift-off]."""
    engine = burn.at_ignition.scenario.elements[burn.element].engines[burn.engine]
    drawn = burn.propellant * (elapsed - burn.elapsed) / burn.duration
    return delta_v(engine.isp_vacuum, burn.mass, burn.mass - drawn)
