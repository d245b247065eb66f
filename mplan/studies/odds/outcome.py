"""What is told of one mission: whether it holds, why not, and its figures.

A mission holds if it is flown to its end, every burn has its propellant, and no check stops it.
Reserves and margins are there to be used; how often they are not is told beside it. What costs
much and hardly scatters is not asked again (`AS_IN_PLAN`): there the plan's own findings hold. What
never stops a flight by itself (`ADVICE`) is asked where the scenario has it stop one.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import nan
from types import ModuleType

from mplan import checks
from mplan.checks import (
    boil_off,
    contact,
    control,
    crossfeed,
    escape,
    fit,
    impact,
    landing,
    light,
    living,
    pad,
    recovery,
    rendezvous,
    sequence,
)
from mplan.checks.docked import on_the_ground, waiting
from mplan.checks.finding import as_set
from mplan.checks.limits import Left, left
from mplan.flight.record import BurnRecord, Flight
from mplan.flight.unflyable import Unflyable
from mplan.physics.constants import G0
from mplan.physics.rocket import propellant
from mplan.plan import Plan
from mplan.scenario import Scenario
from mplan.scenario.severity import SEVERITIES, CheckName
from mplan.scenario.wording import plain
from mplan.studies.sensitivities import differences
from mplan.vehicle import same
from mplan.vehicle.ledger import Key, Ledger, main_engine, shares

AS_IN_PLAN: tuple[ModuleType, ...] = (
    sequence,
    pad,
    fit,
    impact,
    control,
    escape,
    landing,
    rendezvous,
)
# Checks whose findings ask a decision or inform, with the names they go by in [severity].
ADVICE: dict[ModuleType, tuple[CheckName, ...]] = {
    boil_off: ("boil-off",),
    contact: ("contact",),
    crossfeed: ("crossfeed",),
    light: ("light",),
    living: ("contingency", "air"),
    on_the_ground: ("hardware on the ground",),
    recovery: ("recovery",),
}
# Of them, those whose limits have figures.
NOT_ASKED: tuple[CheckName, ...] = ("control", "landing", "pad")
FLOWN, LEFT_OF = "flown", "left of "


def told(flight: Flight | Unflyable, names: tuple[str, ...]) -> tuple[str, str, list[float]]:
    """Return how a mission ended, what stops it, and the figures called `names`, as they are kept.

    Of one that cannot be flown only why not.
    """
    if isinstance(flight, Unflyable):
        return f"cannot be flown: {_key(flight)}", "", [nan] * len(names)
    figures = figures_of(flight)
    ended = FLOWN if flight.ended is None else f"ends at {flight.ended.event}"
    stops = () if flight.ended else dict.fromkeys(_stops(flight))
    same.forget()  # nobody asks this flight again, and the next one's elements are others
    return ended, "; ".join(stops), [figures.get(name, nan) for name in names]


def _key(problem: Unflyable) -> str:
    return ".".join(str(x) for x in problem.path)


def figures_of(flight: Flight) -> dict[str, float]:
    """Return the figures of a flight by name, unit in brackets, as far as it was flown."""
    found = {left_after(name): lacking_is_negative(x) for name, x in ended_on(flight).items()}
    found |= {in_tank(key): kilograms for key, kilograms in left_in_tanks(flight).items()}
    found |= {limit_named(x): x.left for x in limits(flight)}
    climb = flight.climb
    if climb is not None:
        found["greatest dynamic pressure [kPa]"] = climb.most_dynamic_pressure.value / 1e3
        found["greatest acceleration of the climb [g]"] = climb.most_acceleration.value / G0
    return found


def left_after(burn: str) -> str:
    """Return the name of what is left after a burn, reserves not taken off."""
    return f"left after {burn} [m/s]"


def in_tank(key: Key) -> str:
    """Return the name of what is left in a tank, negative what it lacks."""
    return f"{LEFT_OF}{plain(key[1])} in {plain(key[0])} [kg]"


def limit_named(limit: Left) -> str:
    """Return the name of what is left up to a limit."""
    return f"{LEFT_OF}{limit.name}{f' [{limit.unit}]' if limit.unit else ''}"


def ended_on(flight: Flight) -> dict[str, BurnRecord]:
    """Return all ships' burns by a name of their own, but for those that burn out by plan."""
    return {name: x for name, x in differences.named(flight).items() if not x.burns_out}


def lacking_is_negative(burn: BurnRecord) -> float:
    """Return the velocity [m/s] that a burn leaves in its tanks, negative what it lacks."""
    return burn.available - burn.required


def limits(flight: Flight) -> list[Left]:
    """Return what is left up to the limits whose checks are asked of every mission."""
    return list(left.of(flight, without=NOT_ASKED))


def left_in_tanks(flight: Flight) -> dict[Key, float]:
    """Return what engines could still draw of each tank at the end [kg]; lacking is negative.

    Of each tank from which burns are flown, when its element is let go; of none that they burn out
    by plan. A burn that lacks propellant goes on as if it had it: that is counted for each tank by
    its share of the flow.
    """
    found: dict[Key, float] = {}
    for _, ship, _ in flight.ships:
        for burn in (x for x in ship.burns if not x.burns_out):
            engine = ship.scenario.elements[burn.element].engines[burn.engine]
            owner = engine.crossfeed or burn.element
            for tank, share in shares(engine).items():
                found[owner, tank] = found.get((owner, tank), 0.0) - share * _short(burn)
    held = _at_the_end(flight)
    return {key: _usable(held[key[0]], key) + short for key, short in found.items()}


def _usable(held: Ledger, key: Key) -> float:
    return held.levels[key] - held.unusable[key]


def _short(burn: BurnRecord) -> float:
    """Return the propellant [kg] that a burn lacks."""
    if burn.leg == "climb":
        climb = burn.at_ignition.climb
        return max(0.0, -climb.left)
    element = burn.at_ignition.scenario.elements[burn.element]
    _, engine = main_engine(element, burn.engine)
    return max(0.0, propellant(engine.isp_vacuum, burn.mass, burn.required) - burn.usable)


def _at_the_end(flight: Flight) -> dict[str, Ledger]:
    """Return the books of every element: those of the last ship that it was a part of."""
    found: dict[str, Ledger] = {}
    for ship in (*flight.others.values(), flight):
        states = (ship.start, *(x.after for x in ship.passages))
        part = {name for state in states for craft in state.craft for name in craft}
        found |= dict.fromkeys(part, ship.end.ledger)
    return found


def standing(plan: Plan) -> tuple[str, ...]:
    """Return what stops the plan by checks that are not asked again: it stops every mission."""
    flight = plan.flight
    found = (
        as_set(x, flight.scenario)
        for ship in (*flight.others.values(), flight)
        for check in AS_IN_PLAN
        for x in check.findings(ship)
    )
    return tuple(dict.fromkeys(x.text for x in found if x.rank == 0))


def _stops(flight: Flight) -> Iterator[str]:
    """Yield what stops a flight that was flown to its end, by check and what it is about."""
    for name, ship in (*flight.others.items(), ("", flight)):
        of = f"{plain(name)}: " if name else ""
        asked = checks.FLOWN if name else (*checks.FLOWN, *checks.HOME)
        for check in asked:
            if check not in AS_IN_PLAN and _may_stop(check, flight.scenario):
                found = (as_set(x, flight.scenario) for x in check.findings(ship))
                yield from (f"{of}{x.check}, {plain(x.event)}" for x in found if x.rank == 0)
    for name, finding in waiting.findings(flight):
        if as_set(finding, flight.scenario).rank == 0:
            yield f"{plain(name)}: {finding.check}, {plain(finding.event)}"
    rendezvous_flown = flight.end.rendezvous
    if rendezvous_flown is not None and rendezvous_flown.misfit:
        yield "rendezvous, the ship is not where the schedule needs it"


def _may_stop(check: ModuleType, scenario: Scenario) -> bool:
    """Return whether findings of a check can stop a flight: by themselves, or by [severity]."""
    if check not in ADVICE:
        return True
    judged = [scenario.severity.get(name, "") for name in ADVICE[check]]
    set_ = [x for each in judged for x in (each.values() if isinstance(each, dict) else (each,))]
    return SEVERITIES[0] in set_
