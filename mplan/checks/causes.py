"""Which findings follow from another one: the cause comes first, the rest falls with it.

A flight is told on past a lack, so that one lack shows in many places. Few rules are sound:

- Tanks that a burn has emptied have nothing left for later burns, for settling, for hovering
  over the site, or for a rescue: those findings follow from the burn that lacks propellant.
- A stack that does not leave the pad reaches no orbit: what its climb lacks follows.
- A mission over its limit uses more than the limit asks for: a supply or energy that lacks for no
  longer than the mission is too long follows. One that lacks for longer is its own cause.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from mplan.checks import burns, landing, power, supplies
from mplan.checks.finding import Finding
from mplan.flight.record import BurnRecord, Flight
from mplan.physics.constants import DAY
from mplan.scenario import Scenario
from mplan.vehicle.ledger import Key, shares

Pair = tuple[Finding, Finding]  # what follows, and from what


def marked(flight: Flight, found: Sequence[Finding]) -> tuple[Finding, ...]:
    """Return the findings in their order, each that follows from another with its `cause`."""
    causes: dict[int, str] = {}
    for rule in (_dry_tanks, _stays_on_the_pad, _too_long):
        for following, cause in rule(flight, found):
            if id(cause) not in causes:  # what follows itself causes nothing: its cause does
                causes.setdefault(id(following), cause.text)
    return tuple(replace(x, cause=causes[id(x)]) if id(x) in causes else x for x in found)


def _dry_tanks(flight: Flight, found: Sequence[Finding]) -> Iterator[Pair]:
    for index, burn in enumerate(flight.burns):
        if burns.lacks(burn) <= burns.ROUNDING:
            continue
        cause, later = _lack(burn, found), flight.burns[index + 1 :]
        if cause is None:
            continue
        dry = _tanks(flight.scenario, burn.element, burn.engine)
        for following in found:
            if following is not cause and _needs(flight, following, burn, later) & dry:
                yield following, cause


def _lack(burn: BurnRecord, found: Sequence[Finding]) -> Finding | None:
    subject = (burn.element, burn.engine)
    return next(
        (
            x
            for x in found
            if (x.check, x.event, x.subject) == ("delta-v", burn.name, subject) and x.rank == 0
        ),
        None,
    )


def _needs(
    flight: Flight, finding: Finding, burn: BurnRecord, later: Sequence[BurnRecord]
) -> frozenset[Key]:
    """Return the tanks that a finding is about, if it is about later than a `burn`."""
    names = {each.name for each in later}
    if finding.check == "delta-v" and finding.event in names:
        return _tanks(flight.scenario, *finding.subject)
    if finding.check == "settling" and finding.event in names:
        return _settling(flight.scenario, finding, later)
    hover = finding.check == "landing" and finding.basis in (landing.USABLE, landing.RESERVE)
    if hover and "powered descent" in {x.leg for x in (burn, *later)}:
        return _tanks(flight.scenario, *finding.subject)
    if finding.check == "rescue" and finding.rank == 1 and len(finding.subject) == 2:
        return _tanks(flight.scenario, *finding.subject)
    return frozenset()


def _settling(scenario: Scenario, finding: Finding, later: Sequence[BurnRecord]) -> frozenset[Key]:
    """Return the tanks of the thrusters that lack propellant to settle a burn."""
    done = next((x.settling for x in later if x.name == finding.event), None)
    if done is None or done.lacks <= 0.0:
        return frozenset()
    return _tanks(scenario, done.element, done.engine)


def _tanks(scenario: Scenario, element: str, name: str) -> frozenset[Key]:
    engine = scenario.elements[element].engines[name]
    return frozenset((engine.crossfeed or element, tank) for tank in shares(engine))


def _stays_on_the_pad(flight: Flight, found: Sequence[Finding]) -> Iterator[Pair]:
    climbs = {burn.name for burn in flight.burns if burn.leg == "climb"}
    for cause in (x for x in found if x.check == "thrust" and x.rank == 0):
        for following in found:
            if following.check == "climb" or (
                following.check == "delta-v" and following.event in climbs
            ):
                yield following, cause


def _too_long(flight: Flight, found: Sequence[Finding]) -> Iterator[Pair]:
    over = (flight.duration - flight.scenario.mission.longest_duration) / DAY
    for cause in (x for x in found if x.check == "duration" and x.rank == 0):
        late = _lacking_for_days(flight)
        for following in found:
            if following.check in ("supplies", "power"):
                key = (following.check, *(following.subject or (following.event,)))
                if late.get(key, over + 1.0) <= over:
                    yield following, cause


def _lacking_for_days(flight: Flight) -> dict[tuple[str, ...], float]:
    """Return for how long [d] each supply and store of energy lacks at the end."""
    found: dict[tuple[str, ...], float] = {}
    for use in supplies.used(flight):
        if use.days_left is not None:
            found["supplies", use.element, use.supply] = -use.days_left
    for each in power.used(flight):
        if each.drain:
            found["power", each.element] = each.lacking / each.drain / DAY
    return found
