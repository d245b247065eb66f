"""What would let supplies, storage, air and energy last: more of them, with what they weigh."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from mplan.checks import living, power, supplies
from mplan.checks.finding import Finding
from mplan.checks.power_and_heat import charge_curves, heat_balances
from mplan.checks.remedies import weights
from mplan.checks.remedies.kinds.duration import shorter_by
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import rounded_up
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, HOUR
from mplan.physics.living import chemistry
from mplan.scenario import Scenario, Supplies
from mplan.scenario.quantities import text
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.vehicle.living.energy import down_from

CANISTER = 3.0  # kg, of one where the element carries none (common practice, no source)


def of_supplies(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield as much more of a supply, or of storage, as lacks; canisters or equipment for air."""
    element, supply = finding.subject
    short = {(x.element, x.supply): x.short for x in supplies.used(flight)}.get(
        (element, supply), 0.0
    )
    if supply == "lioh_canisters":
        yield from _rated_as_they_are(element, flight)
    elif supply == "co2_removal":
        yield from _for_air(element, short, flight)
    elif short > 0.0:
        yield _more(flight.scenario, element, supply, short)
    late = [x for x in supplies.used(flight) if (x.element, x.supply) == (element, supply)]
    days = max((-x.days_left for x in late if x.days_left is not None), default=0.0)
    yield from shorter_by(flight, days * DAY)


def of_contingency(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield as much more of what runs out first as the time that is kept takes; a shorter stay."""
    element, supply = finding.subject
    found = next(x for x in living.outlooks(flight) if x.element == element)
    use, lasts = found.use, living.contingency(flight) - found.days * DAY
    left = (use.capacity or 0.0) - use.used
    lacks = left / found.days * lasts / DAY if found.days > 0.0 else use.used
    if supply == "co2_removal":
        yield from _for_air(element, lacks, flight)
    else:
        yield _more(flight.scenario, element, supply, lacks)
    yield from shorter_by(flight, lasts)


def _more(scenario: Scenario, element: str, supply: str, short: float) -> Proposal:
    """Return as much more of a supply or storage, and the container for it."""
    carried = scenario.elements[element].supplies or Supplies()
    key = {"urine_and_condensate": "urine_and_condensate_storage", "faeces": "faecal_storage"}
    field = key.get(supply, supply)
    more, each = rounded_up(short, 0.1), weights.STORES[field]
    holds = "storage for " if field != supply else ""
    said = f"{holds}{more:.1f} kg more {plain(supply)} in the {plain(element)}"
    values = {f"elements.{element}.supplies.{field}": text(getattr(carried, field) + more, "kg")}
    if each.value:
        said += f", in {more * each.value:.1f} kg of container"
        values |= weights.heavier(scenario, element, more * each.value)
    return Proposal(said, values, f"container: {each.source}")


def _for_air(element: str, short: float, flight: Flight) -> Iterator[Proposal]:
    carried = flight.scenario.elements[element].supplies or Supplies()
    if carried.co2_removal is not None:
        people = supplies.accounts(flight)[element].crowd
        more = (people - carried.co2_removal.crew) * weights.REMOVAL.value
        said = f"the {carried.co2_removal.name} for {people} people, {more:.0f} kg heavier"
        values = {f"elements.{element}.supplies.co2_removal.crew": people}
        heavier = weights.heavier(flight.scenario, element, more)
        yield Proposal(said, {**values, **heavier}, f"mass: {weights.REMOVAL.source}")
        return
    key = f"elements.{element}.supplies.lioh_canisters"
    if carried.lioh_canisters is not None:
        count = carried.lioh_canisters.count + ceil(short / carried.lioh_canisters.takes)
        said = f"{count} LiOH canisters in the {plain(element)}"
        yield Proposal(said, {f"{key}.count": count})
        return
    takes = CANISTER / weights.CANISTER.value  # kg of carbon dioxide
    count, rated = ceil(short / takes), takes / chemistry.CO2 * DAY / HOUR
    table = {"count": count, "mass": f"{CANISTER} kg", "rated": f"{rated:.1f} h"}
    said = f"{count} LiOH canisters of {CANISTER:.0f} kg in the {plain(element)}"
    yield Proposal(said, {key: table}, f"canisters: {weights.CANISTER.source}")


def _rated_as_they_are(element: str, flight: Flight) -> Iterator[Proposal]:
    """Propose canisters rated for what they can take up at best, as many as then last."""
    carried = stated(flight.scenario.elements[element].supplies, "supplies").lioh_canisters
    if carried is None:
        return
    rated = carried.person_time * carried.at_best / carried.takes
    taken = next(
        x.used for x in supplies.used(flight) if (x.element, x.supply) == (element, "co2_removal")
    )
    count = max(carried.count, ceil(taken / (0.95 * carried.at_best)))
    key = f"elements.{element}.supplies.lioh_canisters"
    values = {f"{key}.count": count, f"{key}.rated": text(0.95 * rated, "h")}
    said = f"{count} LiOH canisters rated for {0.95 * rated / HOUR:.1f} h each"
    yield Proposal(f"{said} in the {plain(element)}", values)


def of_power(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield as much more energy stored as lacks, with its mass; a shorter use."""
    element = finding.event
    use = next(use for use in power.used(flight) if use.element == element)
    lacking = use.missed if finding.subject else use.lacking  # on stand-by, or in use
    more = rounded_up(lacking / power.KWH, 0.1)
    serving = [x.element for x in power.used(flight) if x.stored > 0.0 and x.element != element]
    for name in [element, *serving][:2]:
        yield stored(flight.scenario, name, more)
    if use.drain:
        yield from shorter_by(flight, use.lacking / use.drain)


def stored(scenario: Scenario, element: str, more: float) -> Proposal:
    """Return so much more energy [kWh] stored in an element."""
    has = stated(scenario.elements[element].power, f"elements.{element}.power")
    own = has.specific_energy
    weight = more * power.KWH / (own or weights.BATTERIES.value)
    if has.fuel_cell:  # reactants are weighed by themselves
        weight = max(0.0, weight - more * power.KWH * has.fuel_cell.reactants)
    stored = has.stored_energy / power.KWH + more
    values = {f"elements.{element}.power.stored_energy": f"{stored:.12g} kWh"}
    said = f"{more:.1f} kWh more stored in the {plain(element)}, {weight:.0f} kg"
    basis = "specific_energy of the element" if own else weights.BATTERIES.source
    heavier = weights.heavier(scenario, element, weight)
    return Proposal(said, {**values, **heavier}, f"mass: {basis}")


def of_battery(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield as much more stored as keeps a battery above its floor, or lacks between charges.

    Of one that is emptied others have fed the rest: how much tells only a larger one.
    """
    curve = next(x for x in charge_curves(flight) if x.element == finding.event)
    usable = 1.0 - curve.floor / curve.stored
    lacks = max(curve.lacking, (curve.floor - curve.least[0]) / usable)
    emptied = curve.least[0] <= power.TRIFLE
    for times in (1.0, 2.0, 4.0, 8.0) if emptied else (1.0,):
        more = rounded_up(times * lacks / power.KWH, 0.1)
        yield stored(flight.scenario, curve.element, more)


def of_heat(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield radiators as much larger as they lack, with their mass."""
    short = min(x.margin for x in heat_balances(flight) if x.cabin == finding.event)
    each = next(x for x in heat_balances(flight) if x.margin == short)
    scenario = flight.scenario
    craft = next(x.craft for x in flight.stretches if x.element == each.cabin)
    for name in down_from(each.cabin, craft, scenario.elements):
        panel = scenario.elements[name].radiators
        if panel is not None and each.rejected > 0.0:
            more = rounded_up(-short / each.rejected * panel.area, 0.1)
            weight = more * weights.RADIATORS.value
            values = {f"elements.{name}.radiators.area": text(panel.area + more, "m2")}
            said = f"{more:.1f} m2 more radiators on the {plain(name)}, {weight:.0f} kg"
            heavier = weights.heavier(scenario, name, weight)
            yield Proposal(said, {**values, **heavier}, f"mass: {weights.RADIATORS.source}")
            return
