"""What would bring a crew module home within the limits of its shield, crew and parachutes.

An entry outside its corridor kills: entry design belongs to licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import pi

from mplan.checks import entry as check
from mplan.checks.finding import Finding
from mplan.checks.remedies import weights
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.search import steps, told
from mplan.checks.remedies.trials import Trials
from mplan.flight.entry import Entry
from mplan.flight.entry_again import fly_entry_again
from mplan.flight.record import Flight
from mplan.flight.through_air import limits
from mplan.physics.constants import DEG
from mplan.scenario import ScenarioError
from mplan.scenario.entry import ParachuteSet
from mplan.scenario.quantities import text

RUN_ON = 1.05  # of what is required, that a shield is made good for
SIZES = steps(1.05, 0.05, 2.0)  # of today's diameter, that canopies are tried at


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes that end a finding on the entry; none where it was not flown."""
    entry = flight.end.entry
    if entry is None:
        return
    if finding.event in ("drogues open", "mains open"):
        yield from _parachutes(finding, flight, entry)
    elif "touchdown_limit" in finding.basis:
        yield from _larger(finding, flight, entry, "mains")
    elif finding.event == "splash":
        yield from _timed(flight, entry)
    else:
        yield from _shield(finding, flight, entry)
        yield from _angles(flight, entry)


def _angles(flight: Flight, entry: Entry) -> Iterator[Proposal]:
    """Propose entry angles that serve: the middle of them, and a quarter to either side.

    Those that come down on the planned range within all limits; else those inside the corridor.
    """
    edges = limits.served(entry) or entry.corridor
    if edges.steep >= edges.shallow:
        return
    for share in (0.5, 0.75, 0.25):
        angle = edges.steep + share * (edges.shallow - edges.steep)
        said = f"an entry angle of {angle / DEG:.2f} deg"
        yield Proposal(said, {"orbits.entry_angle": f"{angle / DEG:.2f} deg"})


def _shield(finding: Finding, flight: Flight, entry: Entry) -> Iterator[Proposal]:
    """Propose a thicker shield where it is ablated through, a blunter nose for the heat flux."""
    shell, key = entry.aeroshell, f"elements.{entry.element}.aeroshell"
    required, has = entry.shield_required, shell.shield_areal_mass
    if "effective heat" in finding.basis and required is not None and has is not None:
        areal = RUN_ON * required
        across = shell.diameter or flight.scenario.elements[entry.element].diameter
        more = (areal - has) * pi / 4.0 * across**2
        said = f"a heat shield of {areal:.1f} kg/m2 that may ablate, {more:.0f} kg heavier"
        heavier = weights.heavier(flight.scenario, entry.element, more)
        basis = "mass: on the area of its diameter"
        yield Proposal(said, {f"{key}.shield_areal_mass": f"{areal} kg/m2", **heavier}, basis)
    elif "rated_heating" in finding.basis:
        radius = shell.nose_radius * (RUN_ON * entry.heat.upper_peak / shell.rated_heating) ** 2
        said = f"a nose of {radius:.2f} m radius, its drag and lift as they are"
        yield Proposal(said, {f"{key}.nose_radius": f"{radius} m"})
    elif "rated_heat_load" in finding.basis:
        yield from _thicker(flight, entry)


def _thicker(flight: Flight, entry: Entry) -> Iterator[Proposal]:
    """Propose a shield rated for the heat load, as much thicker; its mass where that is stated."""
    shell, key = entry.aeroshell, f"elements.{entry.element}.aeroshell"
    times = RUN_ON * entry.heat.upper_load / shell.rated_heat_load
    said = f"a shield rated for {times * shell.rated_heat_load / 1e6:.0f} MJ/m2"
    values = {f"{key}.rated_heat_load": text(times * shell.rated_heat_load, "MJ/m2")}
    if shell.shield_areal_mass is None:
        yield Proposal(said, values, "mass: not worked out, shield_areal_mass is not stated")
        return
    areal = times * shell.shield_areal_mass
    across = shell.diameter or flight.scenario.elements[entry.element].diameter
    more = (areal - shell.shield_areal_mass) * pi / 4.0 * across**2
    values[f"{key}.shield_areal_mass"] = f"{areal} kg/m2"
    heavier = weights.heavier(flight.scenario, entry.element, more)
    basis = "mass: in proportion to the heat load, on the area of its diameter"
    yield Proposal(f"{said}, {more:.0f} kg heavier", {**values, **heavier}, basis)


def _timed(flight: Flight, entry: Entry) -> Iterator[Proposal]:
    """Propose to aim where the entry comes down, and angles that reach further."""
    if flight.scenario.recovery is not None:
        down = max(1000.0, min(6000.0, entry.flown.range / 1e3))
        said = f"the return aimed {down:.0f} km past the interface"
        yield Proposal(said, {"recovery.downrange": f"{down:.0f} km"})
    yield from _angles(flight, entry)


def _parachutes(finding: Finding, flight: Flight, entry: Entry) -> Iterator[Proposal]:
    """Propose another opening altitude, and larger drogues before the mains."""
    kind = finding.event.split()[0]
    chutes: ParachuteSet = getattr(entry.parachutes, kind)
    key = f"elements.{entry.element}.parachutes.{kind}.altitude"
    lower = [
        Proposal(f"{kind} open at {x / 1e3:.1f} km", {key: f"{x / 1e3:.2f} km"})
        for d in steps(0.05, 0.05, 0.5)
        for x in (chutes.altitude * (1.0 - d), chutes.altitude * (1.0 + d))
    ]
    yield from _first(finding, flight, lower)
    if kind == "mains":
        yield from _larger(finding, flight, entry, "drogues")
    tried = (_rated(flight, entry, kind, x) for x in steps(1.1, 0.1, 3.0))
    yield from _first(finding, flight, tried)


def _larger(finding: Finding, flight: Flight, entry: Entry, kind: str) -> Iterator[Proposal]:
    """Propose larger canopies, and one more of them, with what they weigh."""
    yield from _first(finding, flight, (_sized(flight, entry, kind, size, 0) for size in SIZES))
    yield from _first(finding, flight, [_sized(flight, entry, kind, 1.0, n) for n in (1, 2)])


def _sized(flight: Flight, entry: Entry, kind: str, size: float, more: int) -> Proposal:
    chutes: ParachuteSet = getattr(entry.parachutes, kind)
    count, across = chutes.count + more, chutes.diameter * size
    area = pi / 4.0 * (count * across**2 - chutes.count * chutes.diameter**2)
    weight = area * weights.CANOPY.value
    key = f"elements.{entry.element}.parachutes.{kind}"
    values = {f"{key}.diameter": f"{across:.2f} m", f"{key}.count": count}
    said = f"{count} {kind} of {across:.1f} m, {weight:.0f} kg heavier"
    heavier = weights.heavier(flight.scenario, entry.element, weight)
    return Proposal(said, {**values, **heavier}, f"mass: {weights.CANOPY.source}")


def _rated(flight: Flight, entry: Entry, kind: str, times: float) -> Proposal:
    """Return canopies made for so many times the dynamic pressure, heavier in proportion."""
    chutes: ParachuteSet = getattr(entry.parachutes, kind)
    pressure = times * chutes.pressure_limit
    area = chutes.count * pi / 4.0 * chutes.diameter**2
    weight = (times - 1.0) * area * weights.CANOPY.value
    key = f"elements.{entry.element}.parachutes.{kind}.pressure_limit"
    said = f"{kind} made for {pressure / 1e3:.1f} kPa, {weight:.0f} kg heavier"
    heavier = weights.heavier(flight.scenario, entry.element, weight)
    values = {key: text(pressure, "kPa"), **heavier}
    return Proposal(said, values, f"mass: {weights.CANOPY.source}")


def _first(finding: Finding, flight: Flight, proposed: Iterable[Proposal]) -> Iterator[Proposal]:
    """Yield the first that ends the finding, with the entry alone flown again."""
    for each in proposed:
        try:
            after = fly_entry_again(flight, each.of(flight.scenario))
        except ScenarioError:
            continue  # beyond what a scenario may state
        if not told(finding, check.findings(after)):
            yield each
            return
