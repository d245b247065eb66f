"""What would help: changes to the scenario, each flown again before it is shown.

A change that does not help is shown too where it is the first a planner would reach for: that
it was flown and fails is the answer. Amounts are searched with the climb steered as that of the
plan itself, which is quick; what is shown was steered for itself. An amount is rounded before it
is flown, to the side that helps: what is written is what was flown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import ceil, floor

from mplan import checks
from mplan.checks import power, supplies
from mplan.checks.finding import Finding, Remedy
from mplan.checks.remedies import control, order
from mplan.flight import walk
from mplan.flight.record import Flight
from mplan.flight.unflyable import Unflyable
from mplan.physics.constants import DAY, HOUR
from mplan.scenario import Scenario, ScenarioError, Supplies
from mplan.scenario.quantities import text
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.vehicle import layout, life_support, pad, resize
from mplan.vehicle.stack import on_pad

Try = tuple[str, Scenario]

MOST_PROPELLANT = 0.5  # of an element's load, that a remedy may add
HEIGHTS = ("door_height", "hook_height")  # that a shorter stage comes below
SEARCHES = 7  # halvings of the range in which an amount is searched


def for_findings(flight: Flight, found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the findings, causes that stop the flight with the remedies that were flown."""
    return tuple(
        replace(finding, remedies=tuple(_flown(finding, flight)))
        if finding.rank == 0 and not finding.cause
        else finding
        for finding in found
    )


def _flown(finding: Finding, flight: Flight) -> Iterator[Remedy]:
    propose = _PROPOSALS.get(finding.check, _nothing)
    for change, scenario in propose(finding, flight):
        after = _fly(scenario)
        if after is not None:
            yield Remedy(change, *_outcome(finding, flight, after))


def _fly(scenario: Scenario, like: Flight | None = None) -> Flight | None:
    """Return the flight of a changed scenario, its climb steered for the best or as another's."""
    try:
        return walk.fly(scenario, like.climb if like else None)
    except (Unflyable, ScenarioError):
        return None


def _outcome(finding: Finding, before: Flight, after: Flight) -> tuple[bool, str]:
    """Return whether the plan then closes, and in words what else changes."""
    stops = [other.text for other in checks.of(after) if other.rank == 0]
    price = ", ".join(costs(before, after))
    if not stops:
        return True, f"closes; {price}" if price else "closes"
    return False, f"does not close: {stops[0]}" + (f"; {price}" if price else "")


def costs(before: Flight, after: Flight) -> Iterator[str]:
    """Yield what a change costs: lift-off mass, height of the stack, engines bought, days.

    What stays the same, to the digits that are written, is not told.
    """
    old, new = on_pad(before.scenario), on_pad(after.scenario)
    if abs(new.mass - old.mass) >= 1.0:
        yield f"lift-off mass {_mass(new.mass - old.mass)}"
    if abs(new.height - old.height) >= 0.005:
        yield f"height {_signed(new.height - old.height, 'm', 2)}"
    yield from _engines_bought(before.scenario, after.scenario)
    longer = (after.duration - before.duration) / DAY
    if abs(longer) >= 0.005:
        yield f"mission {_signed(longer, 'd', 2)}"


def _engines_bought(before: Scenario, after: Scenario) -> Iterator[str]:
    """Yield the price of engines added or left off: units only, as the type is developed anyway."""
    for name, element in after.elements.items():
        for key, engine in element.engines.items():
            more = engine.count - before.elements[name].engines[key].count
            if not more:
                continue
            if engine.unit_cost is None:
                yield "unit cost not stated"
            else:
                yield f"cost {_signed(more * engine.unit_cost, 'millions', 1)}"


def _mass(value: float) -> str:
    """Return a difference of masses [kg] in tonnes, below 0.1 t in kilograms."""
    return _signed(value, "kg", 0) if abs(value) < 99.5 else _signed(value / 1e3, "t", 2)


def _signed(value: float, unit: str, digits: int) -> str:
    return f"{value:+.{digits}f} {unit}"


def _nothing(finding: Finding, flight: Flight) -> Iterator[Try]:
    """Propose nothing: no change is known that would help."""
    return iter(())


def _for_delta_v(finding: Finding, flight: Flight) -> Iterator[Try]:
    element, engine = finding.subject
    scenario = flight.scenario
    name, label = plain(element), finding.event
    loads = layout.main_loads(scenario.elements[element])
    if loads:
        most = MOST_PROPELLANT * sum(loads.values())
        yield from _least(
            flight,
            lambda kg: resize.reloaded(scenario, element, kg),
            most,
            lambda after: _margin(after, label) >= 0.0,
            lambda kg: f"{kg / 1e3:.2f} t more propellant in the {name}, and the tank for it",
            10.0,
        )
    isp = scenario.elements[element].engines[engine].isp_vacuum
    yield from _least(
        flight,
        lambda s: scenario.change(
            f"elements.{element}.engines.{engine}.isp_vacuum", f"{isp + s} s"
        ),
        0.1 * isp,
        lambda after: _margin(after, label) >= 0.0,
        lambda s: f"{s:.1f} s more specific impulse in the {name}",
        0.1,
    )
    if scenario.mission.payload_down > 0.0:
        yield "no payload down", scenario.change("mission.payload_down", "0 kg")


def _least(
    before: Flight,
    changed: Callable[[float], Scenario],
    most: float,
    good: Callable[[Flight], bool],
    said: Callable[[float], str],
    step: float,
) -> Iterator[Try]:
    """Yield the least amount up to `most` that makes the flight good, rounded up to `step`."""
    top = _fly(changed(most), before)
    if top is None or not good(top):
        return
    low, high = 0.0, most
    for _ in range(SEARCHES):
        middle = (low + high) / 2.0
        after = _fly(changed(middle), before)
        low, high = (low, middle) if after is not None and good(after) else (middle, high)
    rounded = _rounded_up(high, step)
    yield said(rounded), changed(rounded)


def _rounded_up(value: float, step: float) -> float:
    """Return the next whole number of steps, a last-digit excess apart."""
    return ceil(value / step - 1e-6) * step


def _margin(flight: Flight, name: str) -> float:
    return min(burn.margin for burn in flight.burns if burn.name == name)


def _for_pad(finding: Finding, flight: Flight) -> Iterator[Try]:
    scenario, key = flight.scenario, finding.subject[0]
    if key not in HEIGHTS:
        return
    excess = next(each.over for each in pad.limits(scenario) if each.key == key)
    over = _rounded_up(excess, 0.01)
    for name in scenario.stack:
        element = scenario.elements[name]
        if not (element.inside or element.beside) and layout.main_loads(element):
            try:
                yield (
                    f"{plain(name)} {over:.2f} m shorter",
                    resize.shortened(scenario, name, over),
                )
            except ScenarioError:
                continue  # it has not that much propellant to give up


def _for_starts(finding: Finding, flight: Flight) -> Iterator[Try]:
    element, engine = finding.subject
    lit = flight.end.ledger.starts[element, engine]
    key = f"elements.{element}.engines.{engine}.starts"
    yield f"an engine qualified for {lit} starts", flight.scenario.change(key, lit)


def _for_thrust(finding: Finding, flight: Flight) -> Iterator[Try]:
    element, engine = finding.subject
    count = flight.scenario.elements[element].engines[engine].count + 1
    key = f"elements.{element}.engines.{engine}.count"
    yield f"{count} engines on the {plain(element)}", flight.scenario.change(key, count)


def _for_duration(finding: Finding, flight: Flight) -> Iterator[Try]:
    mission = flight.scenario.mission
    over = flight.duration - mission.longest_duration
    for key in ("surface_stay", "lunar_orbit_stay"):
        stay = getattr(mission, key)
        if stay is not None and stay > over:
            hours = floor((stay - over) / HOUR * 10.0) / 10.0
            change = flight.scenario.change(f"mission.{key}", f"{hours} h")
            yield f"a stay of {hours:.1f} h", change


def _for_rendezvous(finding: Finding, flight: Flight) -> Iterator[Try]:
    """Propose the lift-off that the schedule requires, and the other schedule."""
    scenario = flight.scenario
    if scenario.lunar_ascent.after_pass is not None:
        change = scenario.change("lunar_ascent.after_pass", None)
        yield "lift-off at the time the rendezvous requires", change
    other = "direct" if scenario.rendezvous.schedule == "coelliptic" else "coelliptic"
    yield f"a {other} rendezvous", scenario.change("rendezvous.schedule", other)


def _for_power(finding: Finding, flight: Flight) -> Iterator[Try]:
    """Propose as much more energy stored in the element that runs out as it lacks."""
    element = finding.event
    short = next(use.lacking for use in power.used(flight) if use.element == element)
    more = _rounded_up(short / power.KWH, 0.1)
    has = stated(flight.scenario.elements[element].power, f"elements.{element}.power")
    stored = has.stored_energy / power.KWH + more
    key = f"elements.{element}.power.stored_energy"
    yield (
        f"{more:.1f} kWh more stored in the {plain(element)}, as heavy as before",
        flight.scenario.change(key, f"{stored} kWh"),
    )


_CARRIED = ("oxygen", "nitrogen", "potable_water", "packed_food")


def _for_supplies(finding: Finding, flight: Flight) -> Iterator[Try]:
    """Propose to carry as much more of a supply as it lacks, or as many more canisters."""
    element, supply = finding.subject
    carried = flight.scenario.elements[element].supplies or Supplies()
    lacking: dict[tuple[str, ...], float] = {
        (use.element, use.supply): use.short for use in supplies.used(flight)
    }
    short = lacking.get(finding.subject, 0.0)
    key = f"elements.{element}.supplies"
    if supply in _CARRIED and short > 0.0:
        more = ceil(short * 10.0) / 10.0
        load = text(getattr(carried, supply) + more, "kg")
        change = flight.scenario.change(f"{key}.{supply}", load)
        yield f"{more:.1f} kg more {plain(supply)} in the {plain(element)}", change
    elif supply == "co2_removal" and carried.lioh_canisters and short > 0.0:
        each = life_support.CO2 * carried.lioh_canisters.rated / DAY
        count = carried.lioh_canisters.count + ceil(short / each)
        change = flight.scenario.change(f"{key}.lioh_canisters.count", count)
        yield f"{count} LiOH canisters in the {plain(element)}", change


_PROPOSALS = {
    "delta-v": _for_delta_v,
    "pad": _for_pad,
    "starts": _for_starts,
    "thrust": _for_thrust,
    "climb": _for_thrust,
    "duration": _for_duration,
    "power": _for_power,
    "supplies": _for_supplies,
    "rendezvous": _for_rendezvous,
    "control": control.proposals,
    "sequence": order.proposals,
}
