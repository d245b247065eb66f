"""Does the crew come through the air and down alive, within what heat shield and canopies bear?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding, Severity
from mplan.flight.entry import Entry
from mplan.flight.record import Flight
from mplan.physics import constants as c
from mplan.physics.entry.parachutes import Opening
from mplan.scenario.entry import ParachuteSet
from mplan.scenario.wording import plain
from mplan.vehicle.stack import with_role

OFF = 10e3  # m, of the range that counts as missed
STOPS: Severity = "stops the flight"
DECIDE: Severity = "needs a decision"
SHAPE = "the aeroshell's figures are those of the crew module alone"
FLOWN = "flown with all lift up at the steep edge, all lift down at the shallow one"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on the entry: corridor, loads, heat, parachutes and touchdown."""
    entry = flight.end.entry
    if entry is None:
        yield from _not_flown(flight)
        return
    yield from _alone(entry)
    yield from _corridor(entry)
    yield from _heat(entry)
    yield from _shield(entry)
    if entry.descent is not None:
        yield from _range(entry)
        yield from _parachutes(entry)
        yield from _touchdown(entry)


def _not_flown(flight: Flight) -> Iterator[Finding]:
    """Say what is missing for an entry that the mission has and nobody flew."""
    if not any(event.do == "enter" for event in flight.scenario.events):
        return
    name = with_role(flight.scenario, "crew module")
    element = flight.scenario.elements[name]
    tables = {"aeroshell": element.aeroshell, "parachutes": element.parachutes}
    missing = " and ".join(f"[elements.{name}.{key}]" for key, there in tables.items() if not there)
    yield Finding(
        severity=DECIDE,
        check="entry",
        event="entry interface",
        text=f"the entry is not flown and its splash an estimate: {missing} left out",
        limit="both tables",
        found=f"without {missing}",
        basis="the scenario",
        subject=(name,),
    )


def _finding(
    entry: Entry, severity: Severity, event: str, text: str, asked: str, there: str, source: str
) -> Finding:
    return Finding(severity, "entry", event, text, asked, there, source, (entry.element,))


def _key(entry: Entry, key: str) -> str:
    return f"elements.{entry.element}.{key}"


def _alone(entry: Entry) -> Iterator[Finding]:
    """Yield a finding when more than the crew module enters: nothing is known of that shape."""
    others = [name for name in entry.joined if name != entry.element]
    if others:
        with_them = ", ".join(map(plain, others))
        text = f"the crew module enters with {with_them} still joined to it"
        asked = "the crew module alone"
        yield _finding(entry, STOPS, "entry interface", text, asked, with_them, SHAPE)


def _corridor(entry: Entry) -> Iterator[Finding]:
    """Yield a finding for an entry that skips out or exceeds the load it is rated for.

    The corridor is flown only then: what comes down within its load came through it.
    """
    if entry.descent is not None and entry.flown.peak.load <= entry.limit:
        return
    edges = entry.corridor
    asked = f"{edges.steep / c.DEG:.2f} to {edges.shallow / c.DEG:.2f} deg"
    there = f"{entry.angle / c.DEG:.2f} deg"
    if not edges.holds(entry.angle):
        steep = entry.angle < edges.steep
        why = "too steep: it crushes" if steep else "too shallow: it skips out"
        text = f"the entry angle of {there} is outside its corridor, {why}"
        yield _finding(entry, STOPS, "entry interface", text, asked, there, FLOWN)
    if entry.flown.peak.load > entry.limit:
        most, limit = entry.peak_load, entry.aeroshell.acceleration_limit
        text = f"the entry decelerates at {most:.1f} g, {most - limit:.1f} g more than it may"
        source = _key(entry, "aeroshell.acceleration_limit")
        yield _finding(entry, STOPS, "entry", text, f"{limit:g} g at most", f"{most:.1f} g", source)
    elif edges.holds(entry.angle):
        text = "no bank angle brings the entry down without a skip within its load limit"
        yield _finding(entry, STOPS, "entry", text, "a way down", "a skip", FLOWN)


def _heat(entry: Entry) -> Iterator[Finding]:
    shell = entry.aeroshell
    rated = (
        ("heating", entry.peak_heating, shell.rated_heating, "MW/m2", "rated_heating"),
        ("heat load", entry.heat_load, shell.rated_heat_load, "MJ/m2", "rated_heat_load"),
    )
    for what, there, most, unit, key in rated:
        if there > most:
            asked, has = f"{most / 1e6:.2f} {unit} at most", f"{there / 1e6:.2f} {unit}"
            text = f"the {what} of the nose comes to {has}, more than its shield is rated for"
            yield _finding(entry, STOPS, "entry", text, asked, has, _key(entry, f"aeroshell.{key}"))


def _shield(entry: Entry) -> Iterator[Finding]:
    """Yield a finding for a heat shield that the heat load eats through."""
    there, needed = entry.aeroshell.shield_areal_mass, entry.shield_required
    if there is None or needed is None or there >= needed:
        return
    heat = f"{entry.aeroshell.effective_heat / 1e6:g} MJ/kg"
    has, asked = f"{there:.1f} kg/m2", f"{needed:.1f} kg/m2 at least"
    text = f"the heat shield has {has} to ablate at its nose, {needed - there:.1f} too few"
    source = f"the heat load over an effective heat of ablation of {heat}, conduction left out"
    yield _finding(entry, STOPS, "entry", text, asked, has, source)


def _range(entry: Entry) -> Iterator[Finding]:
    """Yield a finding for a landfall away from the place that the return was timed for."""
    off = entry.flown.range - entry.aimed
    if abs(off) > OFF:
        side = "beyond" if off > 0.0 else "short of"
        text = f"the entry comes down {abs(off) / 1e3:.0f} km {side} where its return was timed for"
        asked, there = f"{entry.aimed / 1e3:.0f} km", f"{entry.flown.range / 1e3:.0f} km"
        source = "the range that bank angles reach within load and skip limits"
        yield _finding(entry, DECIDE, "splash", text, asked, there, source)


def _parachutes(entry: Entry) -> Iterator[Finding]:
    stated, down, less = entry.parachutes, entry.descent, entry.one_drogue_less
    yield from _opening(entry, "drogues", down.drogue_opening, stated.drogues, "", STOPS)
    found = list(_opening(entry, "mains", down.main_opening, stated.mains, "", STOPS))
    after = " with one drogue failed"
    yield from found or _opening(entry, "mains", less.main_opening, stated.mains, after, DECIDE)


def _opening(
    entry: Entry, kind: str, there: Opening, limits: ParachuteSet, when: str, severity: Severity
) -> Iterator[Finding]:
    """Yield findings for canopies that open at more dynamic pressure or faster than they may."""
    event, key = f"{kind} open", f"parachutes.{kind}"
    if there.pressure > limits.pressure_limit:
        has, most = f"{there.pressure / 1e3:.1f} kPa", f"{limits.pressure_limit / 1e3:.1f} kPa"
        text = f"the {kind} open at a dynamic pressure of {has}{when}, more than they are rated for"
        source = _key(entry, f"{key}.pressure_limit")
        yield _finding(entry, severity, event, text, f"{most} at most", has, source)
    if limits.mach_limit is not None and there.mach > limits.mach_limit:
        has = f"Mach {there.mach:.2f}"
        text = f"the {kind} open at {has}{when}, faster than they are rated for"
        source = _key(entry, f"{key}.mach_limit")
        most = f"Mach {limits.mach_limit:g} at most"
        yield _finding(entry, severity, event, text, most, has, source)


def _touchdown(entry: Entry) -> Iterator[Finding]:
    most, all_open = entry.parachutes.touchdown_limit, entry.descent.touchdown
    ground = "the water" if entry.parachutes.surface == "water" else "the ground"
    ways = ((all_open, "", STOPS), (entry.one_main_less.touchdown, " with one main failed", DECIDE))
    for speed, when, severity in ways:
        if speed > most:
            text = f"the crew module meets {ground} at {speed:.1f} m/s{when}, faster than it may"
            source = _key(entry, "parachutes.touchdown_limit")
            asked, there = f"{most:.1f} m/s at most", f"{speed:.1f} m/s"
            yield _finding(entry, severity, "splash", text, asked, there, source)
            return
