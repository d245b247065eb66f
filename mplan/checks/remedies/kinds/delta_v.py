"""What would give a burn the delta-v it lacks: propellant, another engine, less to carry."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.checks.remedies import swaps, weights
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import Amount, least
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import BurnRecord, Flight
from mplan.scenario import Engine, Scenario
from mplan.scenario.quantities import text
from mplan.scenario.wording import plain
from mplan.vehicle import layout, resize
from mplan.vehicle.ledger import shares

MOST_PROPELLANT = 0.5  # of an element's load, that a remedy may add


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes after which the burn has its delta-v and what is reserved."""
    element, engine = finding.subject
    scenario, label = flight.scenario, finding.event
    amount = of_engine(scenario, element, engine)
    if amount is not None:
        yield from least(flight, trials, amount, lambda after: margin(after, label))
    yield from _better_engines(scenario, element, engine)
    yield from _drawn_from_others(finding, flight)
    yield from lighter(scenario)


def of_engine(scenario: Scenario, element: str, engine: str) -> Amount | None:
    """Return what an engine burns as an amount to search; None if it burns nothing of its own."""
    mounted = scenario.elements[element].engines[engine]
    owner = mounted.crossfeed or element
    loads = layout.main_loads(scenario.elements[owner])
    if set(shares(mounted)) <= set(loads):
        return of_propellant(scenario, owner) if sum(loads.values()) else None
    most = sum(scenario.elements[owner].tanks[tank].load for tank in shares(mounted))
    return Amount(2.0 * most, 1.0, lambda x: for_thrusters(scenario, owner, mounted, x))


def for_thrusters(scenario: Scenario, owner: str, engine: Engine, kilograms: float) -> Proposal:
    """Return so much more in the tanks of thrusters, tanks weighed with it; lengths stay."""
    element = scenario.elements[owner]
    more = {tank: kilograms * share for tank, share in shares(engine).items()}
    values = {
        f"elements.{owner}.tanks.{tank}.load": text(element.tanks[tank].load + extra, "kg")
        for tank, extra in more.items()
    }
    tank_mass = weights.tanks(element, more)
    said = f"{kilograms:.0f} kg more for the thrusters of the {plain(owner)}"
    values |= weights.heavier(scenario, owner, tank_mass)
    return Proposal(said, values, f"mass of tanks: {weights.OTHER_TANK.source}")


def of_propellant(scenario: Scenario, element: str) -> Amount:
    """Return propellant as an amount to search: up to half as much again."""
    most = MOST_PROPELLANT * sum(layout.main_loads(scenario.elements[element]).values())
    step = 10.0 if most > 300.0 else 1.0
    return Amount(most, step, lambda kilograms: more_propellant(scenario, element, kilograms))


def more_propellant(scenario: Scenario, name: str, kilograms: float) -> Proposal:
    """Return so much more propellant for the main engines of an element, tanks weighed with it."""
    element = scenario.elements[name]
    loads = layout.main_loads(element)
    factor = 1.0 + kilograms / sum(loads.values())
    tank = weights.tanks(element, {key: load * (factor - 1.0) for key, load in loads.items()})
    values = resize.changes(element, name, factor) | weights.heavier(scenario, name, tank)
    said = f"{_tonnes(kilograms)} more propellant in the {plain(name)}"
    if tank >= 0.5:
        said += f" with {tank:.0f} kg of tank"
    return Proposal(said, values, f"mass of tanks: {weights.OTHER_TANK.source}")


def _tonnes(kilograms: float) -> str:
    return f"{kilograms / 1e3:.2f} t" if kilograms >= 99.5 else f"{kilograms:.0f} kg"


def _better_engines(scenario: Scenario, element: str, engine: str) -> Iterator[Proposal]:
    """Yield engines of the catalogue with more specific impulse."""
    now = scenario.elements[element].engines[engine].isp_vacuum
    yield from swaps.others(
        scenario, element, engine, lambda new: new.isp_vacuum > now, lambda new: -new.isp_vacuum
    )


def _drawn_from_others(finding: Finding, flight: Flight) -> Iterator[Proposal]:
    """Propose a crossfeed line from a joined element that holds the same propellant."""
    element, engine = finding.subject
    burn = next((x for x in flight.burns if x.name == finding.event), None)
    for other in burn.elsewhere if burn else ():
        said = f"a crossfeed line from the {plain(other)} to the {plain(element)}"
        values = {f"elements.{element}.engines.{engine}.crossfeed": other}
        yield Proposal(said, values, "mass of the line: not counted")


def lighter(scenario: Scenario) -> Iterator[Proposal]:
    """Propose to leave the payload at home."""
    if scenario.mission.payload_down > 0.0:
        yield Proposal("no payload down", {"mission.payload_down": "0 kg"})


def less_propellant(scenario: Scenario, name: str, kilograms: float) -> Proposal:
    """Return so much less propellant in an element; its length follows if its tanks make it."""
    loads = layout.main_loads(scenario.elements[name])
    share = 1.0 - kilograms / sum(loads.values())
    values = {
        f"elements.{name}.tanks.{key}.load": text(load * share, "kg") for key, load in loads.items()
    }
    return Proposal(f"{_tonnes(kilograms)} less propellant in the {plain(name)}", values)


def margin(flight: Flight, name: str) -> float:
    """Return the least margin [m/s] of the burns of a name; below all where none was flown."""
    return min((burn.margin for burn in _named(flight, name)), default=-1e9)


def _named(flight: Flight, name: str) -> Iterator[BurnRecord]:
    return (burn for burn in flight.burns if burn.name == name)
