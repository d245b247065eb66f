"""Do crew supplies, CO2 removal and storage last in every element people live in?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import DAY, HOUR
from mplan.scenario import StayEvent, Supplies
from mplan.scenario.figures import Figures, amount, at_least, at_most, counted
from mplan.scenario.wording import plain
from mplan.vehicle.living.account import LivingAccount, balance
from mplan.vehicle.living.life_support import VITAL, WASTES, SupplyUse, uses
from mplan.vehicle.same import once
from mplan.vehicle.stack import payload_home

CHEMISTRY = "2 LiOH + CO2 -> Li2CO3 + H2O: 0.919 kg of CO2 a kilogram at best"


def accounts(flight: Flight) -> dict[str, LivingAccount]:
    """Return the account of every element that somebody has lived in, in stack order."""
    found = flight.end.ledger.accounts
    return {x: found[x] for x in flight.scenario.order if x in found and found[x].crowd}


def kept(flight: Flight) -> list[str]:
    """Return the elements that carry or keep anything of the kind, in stack order."""
    scenario, found = flight.scenario, flight.end.ledger.accounts
    return [
        name
        for name in scenario.order
        if balance(scenario.elements[name], found.get(name, LivingAccount())).carried
        or (name in found and found[name].crowd)
    ]


@once
def used(flight: Flight) -> tuple[SupplyUse, ...]:
    """Return the supplies of every element that somebody lives in, in stack order."""
    elements, day = flight.scenario.elements, flight.scenario.crew_day
    return tuple(
        use
        for name, account in accounts(flight).items()
        for use in uses(
            name, elements[name].supplies or Supplies(), account, day, aboard=account.last
        )
    )


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each supply that runs out, each full storage, each lack of removal."""
    short = sorted((x for x in used(flight) if x.short > 0.0), key=lambda x: x.ran_out or 0.0)
    for use in short:
        yield _short(use)
    for name, account in accounts(flight).items():
        supplies = flight.scenario.elements[name].supplies or Supplies()
        yield from _canisters(name, supplies)
        yield from _equipment(name, supplies, account)
    yield from _walks(flight)


def _short(use: SupplyUse) -> Finding:
    lacks, called = f"{amount(use.short)} kg", use.label
    text = f"{plain(use.element)} runs short of {lacks} of {called}"
    if not use.capacity and use.supply == "oxygen":
        text = f"{plain(use.element)} carries no oxygen, and people live there: {lacks} lack"
    elif use.supply in WASTES:
        text = f"{plain(use.element)} lacks storage for {lacks} of {called}"
    elif use.supply == "co2_removal":
        text = f"{plain(use.element)} leaves {lacks} of carbon dioxide in the air"
    if use.ran_out is not None:
        text += f", from {_clock(use.ran_out)} after lift-off on"
    return Finding(
        severity="stops the flight" if use.supply in VITAL else "needs a decision",
        check="supplies",
        event=use.element,
        text=text,
        figures=at_least(use.used, use.capacity or 0.0, "kg"),
        basis=use.basis,
        subject=(use.element, use.supply),
        together="stores for waste are too small" if use.supply in WASTES else "supplies run short",
        item=f"{plain(use.element)} {lacks} of {called}",
    )


def _clock(elapsed: float) -> str:
    """Return a time since lift-off in days and hours."""
    days, hours = divmod(int(elapsed // HOUR), 24)
    return f"{days} d {hours} h" if days else f"{hours} h"


def _canisters(name: str, supplies: Supplies) -> Iterator[Finding]:
    """Find canisters rated for more than the hydroxide in them can take up."""
    canisters = supplies.lioh_canisters
    if canisters is None:
        return
    rated = canisters.person_time / HOUR
    best = rated * canisters.at_best / canisters.takes
    if rated > best:
        yield Finding(
            severity="stops the flight",
            check="supplies",
            event=name,
            text=f"a LiOH canister of the {plain(name)} is rated for more than it can take up",
            figures=at_most(best, rated, "person-hours"),
            basis=CHEMISTRY,
            subject=(name, "lioh_canisters"),
        )


def _equipment(name: str, supplies: Supplies, account: LivingAccount) -> Iterator[Finding]:
    """Find equipment that removes the carbon dioxide of fewer people than live there."""
    removal = supplies.co2_removal
    if removal is not None and account.crowd > removal.crew:
        yield Finding(
            severity="stops the flight",
            check="supplies",
            event=name,
            text=f"the {removal.name} of the {plain(name)} is rated for {removal.crew} people, "
            f"and {account.crowd} live there",
            figures=counted(removal.crew, account.crowd, "people"),
            basis=f"elements.{name}.supplies.co2_removal.crew",
            subject=(name, "co2_removal"),
        )


def _walks(flight: Flight) -> Iterator[Finding]:
    """Find walks that do not fit into the stay, and hatches whose air nothing states."""
    scenario, walks = flight.scenario, flight.scenario.surface_walks
    stays = [each for each in flight.passages if isinstance(each.event, StayEvent)]
    if walks is None or not stays or not scenario.mission.landing_crew:
        return
    awake = sum(x.after.elapsed - x.before.elapsed for x in stays) * scenario.crew_day.waking / DAY
    if walks.count * walks.duration > awake:
        figures = at_most(awake / HOUR, walks.count * walks.duration / HOUR, "h")
        text = "the walks on the Moon last longer than people are awake there"
        title = stays[0].event.title
        yield Finding("stops the flight", "supplies", title, text, figures, "surface_walks")
    home = payload_home(scenario)
    supplies = scenario.elements[home].supplies or Supplies()
    if sum(supplies.walk_loss) == 0.0:
        text = f"nothing states how much air a walk costs the {plain(home)}"
        key = f"elements.{home}.supplies.cabin"
        yield Finding(
            "needs a decision", "supplies", home, text, Figures("stated", "not stated"), key
        )
