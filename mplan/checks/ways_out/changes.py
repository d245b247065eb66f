"""Changes that may close a gap in the ways out, before any is flown, what fits the gap first.

More of what the nearest way lacks; the lander kept longer, whose engines and stores are a second
set; another lead-in orbit about the Moon, another arc to it; a shorter stay.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from mplan.checks import power
from mplan.checks.remedies.kinds import delta_v, stores
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import rounded_up
from mplan.contingencies.ways_out.coverage import WaysGap
from mplan.contingencies.ways_out.onward import ship_cabin
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayBurn
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR
from mplan.physics.rocket import propellant
from mplan.scenario import Scenario
from mplan.scenario.profiles import FREE_RETURN, HYBRID, HYBRID_TRANSFER
from mplan.scenario.wording import plain

ROOM = 1.05  # times what the nearest way lacks
LEAD_IN = (4.0, 20.0)  # times the present apolune over the lunar orbit's own height
MORE_ENERGY = 0.5  # of what is stored
SHORTER = 0.5  # of the stay


def proposals(gap: WaysGap, flight: Flight) -> Iterator[Proposal]:
    """Yield the changes that fit a gap."""
    yield from _more_propellant(gap, flight)
    if "half the power lost" in gap.failures:
        yield from _more_energy(gap, flight)
    yield from _kept_longer(gap, flight)
    if _is_outbound(gap, flight):
        yield from _another_arc(flight.scenario)
    yield from _another_lead_in(flight.scenario)
    yield from _shorter_stay(flight.scenario)


def _is_outbound(gap: WaysGap, flight: Flight) -> bool:
    middle = CabinPoint(flight, gap.cabin, (gap.begin + gap.end) / 2.0)
    return middle.stretch in ("to the Moon", "lunar orbit")


def _more_propellant(gap: WaysGap, flight: Flight) -> Iterator[Proposal]:
    """Propose as much more propellant as the burns of the nearest way lack."""
    for burn in gap.nearest.burns if gap.nearest else ():
        if burn.margin < 0.0:
            amount = delta_v.of_engine(flight.scenario, burn.element, burn.engine)
            if amount is not None:
                lacks = min(amount.most, _kilograms(burn, gap, flight))
                yield amount.of(rounded_up(lacks, amount.step))


def _kilograms(burn: WayBurn, gap: WaysGap, flight: Flight) -> float:
    """Return what a burn lacks, at the mass of the craft that makes it."""
    state = CabinPoint(flight, gap.cabin, gap.begin).before
    craft = gap.nearest.craft if gap.nearest else state.joined(gap.cabin)
    engine = flight.scenario.elements[burn.element].engines[burn.engine]
    return propellant(engine.isp_vacuum, state.mass(craft), -ROOM * burn.margin)


def _more_energy(gap: WaysGap, flight: Flight) -> Iterator[Proposal]:
    """Propose half as much again of what is stored in the cabin, or in what serves it."""
    scenario = flight.scenario
    for name in dict.fromkeys((gap.cabin, ship_cabin(flight), *scenario.elements)):
        kept = scenario.elements[name].power
        if kept is not None and kept.stored_energy > 0.0:
            more = rounded_up(MORE_ENERGY * kept.stored_energy / power.KWH, 1.0)
            yield stores.stored(scenario, name, more)


def _kept_longer(gap: WaysGap, flight: Flight) -> Iterator[Proposal]:
    """Propose to keep until after the burn home what is cast off in lunar orbit before it."""
    events = flight.scenario.events
    home = next(
        (i for i, x in enumerate(events) if getattr(x, "leg", "") == "trans-Earth injection"), None
    )
    for index, event in enumerate(events[:home] if home else ()):
        if event.do == "jettison" and _in_lunar_orbit(flight, index):
            written = flight.scenario.events_as_written()
            written.insert(home or 0, written.pop(index))
            said = " and ".join(map(plain, event.elements))
            yield Proposal(f"{said} kept until after the burn home", {"events": written})


def _in_lunar_orbit(flight: Flight, index: int) -> bool:
    state = flight.passages[index].before if index < len(flight.passages) else None
    return state is not None and state.moon is not None and not state.landed


def _another_arc(scenario: Scenario) -> Iterator[Proposal]:
    """Propose an arc that comes back by itself, or that leaves one on the way."""
    arc = scenario.orbits.translunar_arc
    changes: dict[str, Any] = {"dates.launch_time": None}
    if arc != FREE_RETURN:
        changes |= {"orbits.translunar_arc": FREE_RETURN, "dates.translunar_time": None}
        yield Proposal(f"a {FREE_RETURN} to the Moon", changes)
    if arc != HYBRID:
        written = scenario.events_as_written()
        for index, event in enumerate(written):
            if event.get("leg") == "outbound correction":
                written.insert(index, {**event, "leg": HYBRID_TRANSFER})
                changes = {"orbits.translunar_arc": HYBRID, "events": written}
                yield Proposal(f"a {HYBRID} arc to the Moon", changes)
                return


def _another_lead_in(scenario: Scenario) -> Iterator[Proposal]:
    """Propose first orbits about the Moon with another apolune."""
    orbits = scenario.orbits
    if orbits.capture_apolune is None or orbits.lunar_altitude is None:
        return
    beyond = orbits.capture_apolune - orbits.lunar_altitude
    for share in LEAD_IN:
        text = f"{(orbits.lunar_altitude + share * beyond) / 1e3:.0f} km"
        yield Proposal(f"a first lunar orbit up to {text}", {"orbits.capture_apolune": text})


def _shorter_stay(scenario: Scenario) -> Iterator[Proposal]:
    for key in ("surface_stay", "lunar_orbit_stay"):
        stay = getattr(scenario.mission, key, None)
        if stay:
            text = f"{SHORTER * stay / HOUR:.1f} h"
            yield Proposal(f"a {key.replace('_', ' ')} of {text}", {f"mission.{key}": text})
