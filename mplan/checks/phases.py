"""The mission as phases in which one active guidance element controls one craft."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from mplan.flight.controlling import conditions
from mplan.flight.housekeeping.events import mover
from mplan.flight.record import BurnRecord, Flight, Passage
from mplan.flight.state import Craft
from mplan.scenario import BurnEvent, DockEvent, Event, JettisonEvent, Scenario
from mplan.scenario.wording import plain
from mplan.vehicle.control import authority
from mplan.vehicle.control.authority import Authority
from mplan.vehicle.control.condition import Airflow, Condition, Tasks
from mplan.vehicle.control.contribution import Axis
from mplan.vehicle.evolved import evolved

SHORTEST = 1.0  # s: a shorter gap between two events is no phase of its own
COASTING = Tasks(hold=True, turn=True)


@dataclass(frozen=True)
class Phase:
    """A stretch of the mission with its control authority at some moments; SI, since lift-off."""

    name: str
    kind: str
    begin: float
    end: float
    craft: Craft
    mass: float  # kg, at its beginning
    mass_at_end: float
    controller: str | None  # None where no joined element is an active guidance element
    moments: tuple[Authority, ...]  # with one engine out too, where a cluster burns
    beside: bool = False  # of a craft that waits while the others go on

    def tightest(self, axis: Axis) -> Authority | None:
        """Return the moment at which the largest share of what is available is required.

        None where no moment's is worked out.
        """
        shares = [(each.share(axis), each) for each in self.moments]
        known = [(share, each) for share, each in shares if share is not None]
        return max(known, key=lambda found: found[0])[1] if known else None

    @property
    def worked_out(self) -> bool:
        """Whether the control authority is worked out at every moment, about every axis."""
        return not any(each.unstated for each in self.moments)


def handovers(found: tuple[Phase, ...]) -> tuple[tuple[float, str | None, str | None], ...]:
    """Return each guidance handover: when [s since lift-off], from which element, to which.

    As one follows the phases; what waits keeps its own control meanwhile.
    """
    return tuple(
        (after.begin, before.controller, after.controller)
        for before, after in pairwise(phase for phase in found if not phase.beside)
        if after.controller != before.controller
    )


def phases(flight: Flight) -> tuple[Phase, ...]:
    """Return the phases of a mission in flight order, each of the craft that an event happens to.

    What waits while its lander is away has one phase of its own, from parting to docking.
    """
    return tuple(_walked(flight))


def along_climb(flight: Flight, count: int) -> tuple[tuple[Authority, ...], ...]:
    """Return the control authority at `count` moments evenly over each burn of the climb."""
    return tuple(
        tuple(map(authority.of, conditions.along(flight, x.burn, x.burn_event, count)))
        for x in flight.passages
        if x.burn is not None and x.burn.leg == "climb"
    )


def _walked(flight: Flight) -> Iterator[Phase]:
    parted = False  # since the phase before
    for i, passage in enumerate(flight.passages):
        found = tuple(_of_passage(flight, i, separated=parted))
        yield from found
        if passage.moment.kind == "undock":
            yield _waiting(flight, i)
        parted = _parts(passage.event) or (parted and not found)


def _of_passage(flight: Flight, index: int, *, separated: bool) -> Iterator[Phase]:
    passage = flight.passages[index]
    until = flight.moments[min(index + 1, len(flight.moments) - 1)].elapsed
    moment = passage.moment
    if passage.burn is not None:
        yield _burn(flight, passage.burn, passage.burn_event, separated=separated)
        yield from _gap(flight, passage.burn, until)
    elif moment.kind == "lift-off" and flight.burns:
        yield _held_down(flight, passage)
    elif _is_controlled(passage, flight.scenario) and until - moment.elapsed > SHORTEST:
        yield _unpowered(flight, passage, until, separated=separated)


def _held_down(flight: Flight, passage: Passage) -> Phase:
    """Return the phase from ignition to release: the hold-down posts take every moment."""
    first, moment = flight.burns[0], passage.moment
    held = conditions.at_rest(
        flight, passage.before, moment.craft, "held down", Tasks(), t=moment.elapsed
    )
    lit = conditions.at_ignition(flight, first, _event_of(flight, 0))
    held = evolved(held, controller=lit.controller, air=Airflow(0.0, 0.0))
    return _phase("hold-down", "hold-down", -first.hold_down, moment.elapsed, (held,))


def _burn(flight: Flight, burn: BurnRecord, event: BurnEvent, *, separated: bool) -> Phase:
    at = conditions.of_burn(flight, burn, event, separated=separated)
    out = [each.engine_out() for each in at]
    both = (*at, *(each for each in out if each is not None))
    phase = _phase(burn.name, "burn", burn.elapsed, burn.elapsed + burn.duration, both)
    return evolved(phase, mass=burn.mass, mass_at_end=at[-1].mass)


def _gap(flight: Flight, burn: BurnRecord, until: float) -> Iterator[Phase]:
    """Yield the wait between a burn and the next event, if there is one."""
    over, state = burn.elapsed + burn.duration, burn.at_cut_off
    if until - over > SHORTEST:
        craft = state.joined(burn.element)
        at = conditions.at_rest(flight, state, craft, "begin", Tasks(hold=True), t=over)
        yield _phase(f"after {burn.name}", "coast", over, until, (at,))


def _unpowered(flight: Flight, passage: Passage, until: float, *, separated: bool) -> Phase:
    """Return the phase of an event other than a burn, of the craft that moves in it."""
    moment = passage.moment
    craft, leaves = _mover(passage)
    at = conditions.at_rest(
        flight,
        passage.after if moment.kind == "undock" else passage.before,
        craft,
        "begin",
        _tasks(moment.kind, separated=separated or leaves),
        t=moment.elapsed,
        named=passage.event.control,
    )
    return _phase(moment.event, moment.kind, moment.elapsed, until, (at,))


def _tasks(kind: str, *, separated: bool) -> Tasks:
    if kind in ("transfer crew", "transfer propellant"):
        return Tasks(hold=True)
    return COASTING._replace(null_separation=separated, dock=kind == "dock", bank=kind == "enter")


def _mover(passage: Passage) -> tuple[Craft, bool]:
    """Return the craft that is controlled, and whether it leaves another as the phase begins."""
    event, moment = passage.event, passage.moment
    if isinstance(event, DockEvent):
        return mover(passage.before, event)
    return moment.craft, moment.kind == "undock"


def _waiting(flight: Flight, index: int) -> Phase:
    """Return the phase of what stays behind at an undocking, until something docks to it."""
    passage = flight.passages[index]
    moment = passage.moment
    whole = passage.before.joined(moment.craft[0])
    stays = tuple(name for name in whole if name not in moment.craft)
    joins = (m for m in flight.moments[index + 1 :] if m.kind == "dock" and stays[0] in m.craft)
    until = next(joins, flight.moments[-1]).elapsed
    tasks = COASTING._replace(null_separation=True)
    at = conditions.at_rest(flight, passage.after, stays, "begin", tasks, t=moment.elapsed)
    name = f"waiting in {' and '.join(map(plain, stays))}"
    return evolved(_phase(name, "coast", moment.elapsed, until, (at,)), beside=True)


_CONTROLLED = ("coast", "dock", "undock", "transfer crew", "transfer propellant", "enter")


def _is_controlled(passage: Passage, scenario: Scenario) -> bool:
    """Tell whether the craft must be controlled: not on the ground, nor as it is taken apart."""
    if passage.moment.kind == "stay":
        return not passage.before.landed
    return passage.moment.kind in _CONTROLLED


def _parts(event: Event) -> bool:
    """Tell whether an event leaves separation rates: what is dropped in a burn is pushed aside."""
    return event.do == "undock" or (isinstance(event, JettisonEvent) and event.at is None)


def _event_of(flight: Flight, index: int) -> BurnEvent:
    """Return the event of the burn at an index among the burns."""
    return [each.burn_event for each in flight.passages if each.burn is not None][index]


def _phase(name: str, kind: str, begin: float, end: float, at: tuple[Condition, ...]) -> Phase:
    first, last = at[0], at[-1]
    return Phase(
        name=name,
        kind=kind,
        begin=begin,
        end=end,
        craft=first.craft,
        mass=first.mass,
        mass_at_end=last.mass,
        controller=first.controller,
        moments=tuple(map(authority.of, at)),
    )
