"""Do crew supplies, CO2 removal and storage last in every element people live in?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, HOUR
from mplan.scenario import Supplies
from mplan.scenario.figures import amount, at_least, at_most
from mplan.scenario.wording import plain
from mplan.vehicle.life_support import ABSORBED, CO2, WASTES, Lived, SupplyUse, uses

LATER = (*WASTES, "hygiene_water")  # a crew lives through the lack of these: a decision
CHEMISTRY = "2 LiOH + CO2 -> Li2CO3 + H2O: 0.919 kg of CO2 a kilogram at best"


def used(flight: Flight) -> list[SupplyUse]:
    """Return the supplies of every element that somebody lives in, in stack order."""
    elements, there = flight.scenario.elements, lived(flight)
    return [
        use
        for name in flight.scenario.stack
        if name in there
        for use in uses(name, elements[name].supplies or Supplies(), there[name])
    ]


def lived(flight: Flight) -> dict[str, Lived]:
    """Return who lived in each element and for how long."""
    found: dict[str, Lived] = {}
    for each in flight.stretches:
        before = found.get(each.element, Lived(0.0, 0.0, 0, 0))
        found[each.element] = Lived(
            before.person_seconds + each.crew * each.duration,
            before.seconds + (each.duration if each.crew else 0.0),
            max(before.most, each.crew),
            each.crew,
        )
    return found


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each supply that runs out, each full storage, each lack of removal."""
    for use in used(flight):
        if use.short > 0.0:
            yield _short(use)
    for name, there in lived(flight).items():
        supplies = flight.scenario.elements[name].supplies or Supplies()
        yield from _canisters(name, supplies)
        yield from _equipment(name, supplies, there)


def _short(use: SupplyUse) -> Finding:
    lacks, called = f"{amount(use.short)} kg", use.label
    text = f"{plain(use.element)} runs short of {lacks} of {called}"
    if use.supply in WASTES:
        text = f"{plain(use.element)} lacks storage for {lacks} of {called}"
    elif use.supply == "co2_removal":
        text = f"{plain(use.element)} leaves {lacks} of carbon dioxide in the air"
    return Finding(
        severity="needs a decision" if use.supply in LATER else "stops the flight",
        check="supplies",
        event=use.element,
        text=text,
        **at_least(use.used, use.capacity or 0.0, "kg")._asdict(),
        basis=use.basis,
        subject=(use.element, use.supply),
        together="stores for waste are too small" if use.supply in WASTES else "supplies run short",
        item=f"{plain(use.element)} {lacks} of {called}",
    )


def _canisters(name: str, supplies: Supplies) -> Iterator[Finding]:
    """Find canisters rated for more than the hydroxide in them can take up."""
    if supplies.lioh_canisters is None:
        return
    best = ABSORBED * supplies.lioh_canisters.mass / CO2 * DAY / HOUR
    rated = supplies.lioh_canisters.rated / HOUR
    if rated > best:
        yield Finding(
            severity="stops the flight",
            check="supplies",
            event=name,
            text=f"a LiOH canister of the {plain(name)} is rated for more than it can take up",
            **at_most(best, rated, "person-hours")._asdict(),
            basis=CHEMISTRY,
            subject=(name, "lioh_canisters"),
        )


def _equipment(name: str, supplies: Supplies, there: Lived) -> Iterator[Finding]:
    """Find equipment that removes the carbon dioxide of fewer people than live there."""
    removal = supplies.co2_removal
    if removal is not None and there.most > removal.crew:
        yield Finding(
            severity="stops the flight",
            check="supplies",
            event=name,
            text=f"the {removal.name} of the {plain(name)} is rated for {removal.crew} people, "
            f"and {there.most} live there",
            limit=f"{removal.crew} people at most",
            found=f"{there.most}",
            basis=f"elements.{name}.supplies.co2_removal.crew",
            subject=(name, "co2_removal"),
        )
