"""Does electric energy last in every element that people live in, or that waits for them?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from mplan.checks.finding import Finding
from mplan.flight.living.feeding import could_give
from mplan.flight.record import CrewStretch, Flight, StandbyStretch
from mplan.physics.constants import DAY, HOUR
from mplan.scenario.figures import Figures, amount, at_least
from mplan.scenario.stated import stated
from mplan.scenario.wording import plain
from mplan.vehicle.living.energy import Group, PowerUse, feed, serving
from mplan.vehicle.same import once

SOURCE = "power of the elements in the scenario"
KWH = 3.6e6  # J
STANDBY = "standby_load"
NEVER = Figures(STANDBY, "load alone")
TRIFLE = 1.0  # J: what rounding may leave undrawn


@once
def used(flight: Flight) -> tuple[PowerUse, ...]:
    """Return the electric energy of every element that was in use or on stand-by, in stack order.

    Of a ship that was met with what it drew before: what it then lacked is told with its wait.
    """
    scenario = flight.scenario
    found = {use.element: use for use in _of_those_met(flight)}
    stretches: list[CrewStretch | StandbyStretch] = [*flight.stretches, *flight.on_standby]
    for stretch in sorted(stretches, key=lambda x: x.begin):
        group = _group(stretch, flight)
        uses = [found.setdefault(name, _at_first(name, flight)) for name, _ in group]
        standby = isinstance(stretch, StandbyStretch)
        pairs = [(use, power) for use, (_, power) in zip(uses, group, strict=True)]
        out = feed(pairs, stretch.duration, stretch.radius, standby=standby, around=stretch.around)
        if out and uses[-1].empty is None:
            uses[-1].empty = stretch.begin + stretch.duration - out
    return tuple(found[name] for name in scenario.order if name in found)


def _of_those_met(flight: Flight) -> Iterator[PowerUse]:
    for wait in flight.waits.values():
        for use in used(wait):
            yield replace(use, lacking=0.0, missed=0.0, empty=None)


def _at_first(name: str, flight: Flight) -> PowerUse:
    stored = could_give(flight.scenario, flight.end.ledger, name)
    return PowerUse(name, stored, drawn=flight.start.ledger.account(name).drawn)


def _group(stretch: CrewStretch | StandbyStretch, flight: Flight) -> Group:
    if isinstance(stretch, CrewStretch):
        return serving(stretch.element, stretch.craft, flight.scenario)
    bodies = flight.scenario.elements
    named = ((x, stated(bodies[x].power, f"elements.{x}.power")) for x in stretch.elements)
    return tuple(named)


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each cabin whose loads its stores and those that serve it cannot feed.

    And for each craft whose stand-by loads they cannot feed until it is in use.
    """
    uses = used(flight)
    for use in uses:
        if use.lacking > TRIFLE:
            yield _lacks(use, flight, uses)
        if use.missed > TRIFLE:
            yield _empty(use, flight, uses)


def never_drawn(flight: Flight) -> Iterator[Finding]:
    """Yield a finding for each load that is never drawn, for nobody uses its element."""
    known = {each.element for each in used(flight)}
    for name, element in flight.scenario.elements.items():
        power = element.power
        if name in known or power is None or not (power.load or any(power.loads.values())):
            continue
        text = (
            f"nobody uses the {plain(name)}: its load is never drawn, and whether it could be fed "
            f"is not examined; {STANDBY} is what it draws alone"
        )
        yield Finding("for information", "power", name, text, NEVER, SOURCE, (name, "load"))


def _lacks(use: PowerUse, flight: Flight, uses: Iterable[PowerUse]) -> Finding:
    stretches = [each for each in flight.stretches if each.element == use.element]
    names = {n for each in stretches for n, _ in serving(use.element, each.craft, flight.scenario)}
    served = [each for each in uses if each.element in names]
    drawn = sum(each.drawn for each in served)
    lacking = amount(use.lacking / KWH)
    text = (
        f"{_joined(use, served)} {_why(served, use)}: {lacking} kWh are lacking, "
        f"{use.time / HOUR:.0f} h in use"
    )
    figures = at_least((drawn + use.lacking) / KWH, drawn / KWH, "kWh")
    return Finding("stops the flight", "power", use.element, text, figures, SOURCE)


def _why(served: Iterable[PowerUse], use: PowerUse) -> str:
    """Return why energy lacks: there is no source, it is used up, or it comes too slowly."""
    if not any(x.stored > 0.0 or x.supplied > 0.0 for x in served):
        return "has no source of electric energy for its load"
    if sum(x.left for x in served) > use.lacking + TRIFLE:
        return "cannot give at once what its loads take"
    return "runs out of electric energy"


def _empty(use: PowerUse, flight: Flight, uses: Iterable[PowerUse]) -> Finding:
    """Return the finding on a craft that is without energy before anybody uses it."""
    names = {x for each in flight.on_standby if use.element in each.elements for x in each.elements}
    served = [each for each in uses if each.element in names]
    drawn, missed = sum(each.drawn for each in served), amount(use.missed / KWH)
    after = stated(use.empty, "empty") / DAY
    text = (
        f"{_joined(use, served)} runs out of electric energy on stand-by, {after:.1f} d after "
        f"lift-off: {missed} kWh are lacking"
    )
    figures = at_least((drawn + use.missed) / KWH, drawn / KWH, "kWh")
    subject = (use.element, STANDBY)
    return Finding("stops the flight", "power", use.element, text, figures, SOURCE, subject)


def _joined(use: PowerUse, served: Iterable[PowerUse]) -> str:
    """Return an element with what fed its loads together with it."""
    others = [plain(each.element) for each in served if each.element != use.element]
    return plain(use.element) + (f" with {' and '.join(others)}" if others else "")
