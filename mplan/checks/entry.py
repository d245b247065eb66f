"""Does the crew module enter and land within the limits of heat shield, crew and parachutes?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding, Severity
from mplan.flight.entry import Entry
from mplan.flight.record import Flight
from mplan.flight.state import existing
from mplan.flight.through_air import limits
from mplan.flight.through_air.limits import OFF
from mplan.physics import constants as c
from mplan.physics.entry.parachutes import Opening
from mplan.scenario.entry import ParachuteSet
from mplan.scenario.figures import Figures, Measured, amount, apart, at_least, at_most
from mplan.scenario.stated import stated
from mplan.vehicle.stack import crew_module

STOPS: Severity = "stops the flight"
UNDER = "a descent under parachutes"
DECIDE: Severity = "needs a decision"
FLOWN = "flown with full lift up at the steep edge, full lift down at the shallow one"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on the entry: corridor, loads, heat, parachutes and touchdown."""
    entry = flight.end.entry
    if entry is None:
        yield from _not_flown(flight)
        return
    yield from _corridor(entry)
    yield from _heat(entry)
    yield from _shield(entry)
    if entry.descent is not None:
        yield from _range(entry)
        yield from _parachutes(entry)
        yield from _touchdown(entry)


def _not_flown(flight: Flight) -> Iterator[Finding]:
    """Say what is not stated for an entry of the mission that was not flown."""
    if not any(event.do == "enter" for event in flight.scenario.events):
        return
    name = crew_module(flight.scenario)
    element = flight.scenario.elements[name]
    tables = {"aeroshell": element.aeroshell, "parachutes": element.parachutes}
    missing = " and ".join(f"[elements.{name}.{key}]" for key, table in tables.items() if not table)
    yield Finding(
        severity=DECIDE,
        check="entry",
        event="entry interface",
        text=f"the atmospheric entry is not flown and the splash is an estimate: {missing} not "
        "stated",
        figures=Figures("[aeroshell] and [parachutes] stated", f"{missing} not stated"),
        basis="the scenario",
        subject=(name,),
    )


def _finding(
    entry: Entry, severity: Severity, event: str, text: str, figures: Figures, basis: str
) -> Finding:
    return Finding(severity, "entry", event, text, figures, basis, (entry.element,))


def _key(entry: Entry, key: str) -> str:
    return f"elements.{entry.element}.{key}"


def _corridor(entry: Entry) -> Iterator[Finding]:
    """Yield a finding for an entry that skips out or exceeds its load limit.

    The corridor is flown only then: an entry that came down within its load limit was inside it.
    """
    if entry.descent is not None and entry.flown.peak.load <= entry.limit:
        return
    if not entry.corridor.holds(entry.angle):
        yield _outside(entry)
    if entry.flown.peak.load > entry.limit:
        figures = at_most(entry.aeroshell.acceleration_limit, entry.peak_load, "g")
        text = (
            f"the entry decelerates the crew at {figures.found}, above its limit, "
            f"{limits.which_peak(entry.flown)}{_instead(entry)}"
        )
        basis = _key(entry, "aeroshell.acceleration_limit")
        yield _finding(entry, STOPS, "entry", text, figures, basis)
    elif entry.corridor.holds(entry.angle):
        text = "no bank angle brings the entry down without a skip within its load limit"
        figures = Figures("a bank angle that leads down", "none")
        yield _finding(entry, STOPS, "entry", text, figures, FLOWN)


def _instead(entry: Entry) -> str:
    """Return in words which entry angles hold all limits on the planned range."""
    planned = f"the planned {entry.aimed / 1e3:.0f} km"
    found = limits.served(entry)
    if found is None:
        return f"; no entry angle reaches {planned} within the limits"
    steep, shallow = found.steep / c.DEG, found.shallow / c.DEG
    return f"; entry angles from {steep:.2f} to {shallow:.2f} deg reach {planned} within them"


def _outside(entry: Entry) -> Finding:
    """Return the finding for an entry angle outside the corridor."""
    edges, angle = entry.corridor, entry.angle / c.DEG
    steep = entry.angle < edges.steep
    nearest = edges.steep if steep else edges.shallow
    found = f"{apart(nearest / c.DEG, angle, 2)[1]} deg"
    why = "too steep: the load exceeds its limit" if steep else "too shallow: it skips out"
    text = f"the entry angle of {found} is outside its corridor, {why}"
    corridor = f"{edges.steep / c.DEG:.2f} to {edges.shallow / c.DEG:.2f} deg"
    figures = Figures(corridor, found, Measured(nearest / c.DEG, angle, "deg", 2, least=steep))
    return _finding(entry, STOPS, "entry interface", text, figures, FLOWN)


def _heat(entry: Entry) -> Iterator[Finding]:
    """Yield findings for a shield whose rating the heating may exceed, its errors allowed for."""
    shell, heat = entry.aeroshell, entry.heat
    rated = (
        ("heat flux", heat.upper_peak, heat.peak, shell.rated_heating, "MW/m2", "rated_heating"),
        (
            "heat load",
            heat.upper_load,
            heat.load,
            shell.rated_heat_load,
            "MJ/m2",
            "rated_heat_load",
        ),
    )
    for what, upper, worked_out, most, unit, key in rated:
        if upper > most:
            figures = at_most(most / 1e6, upper / 1e6, unit, 2)
            text = (
                f"the {what} at the nose may reach {figures.found}, above its shield's rating: "
                f"{worked_out / 1e6:.2f} {unit} at the upper end of its error"
            )
            yield _finding(entry, STOPS, "entry", text, figures, _key(entry, f"aeroshell.{key}"))


def _shield(entry: Entry) -> Iterator[Finding]:
    """Yield a finding for a heat shield that the heat load ablates through."""
    has, required = entry.aeroshell.shield_areal_mass, entry.shield_required
    if has is None or required is None or has >= required:
        return
    figures = at_least(required, has, "kg/m2")
    text = (
        f"the heat shield has {figures.found} to ablate at its nose, "
        f"{amount(required - has)} kg/m2 too little"
    )
    ablates = stated(entry.aeroshell.effective_heat, "aeroshell.effective_heat")
    heat = f"{ablates / 1e6:g} MJ/kg"
    basis = (
        "estimate: heat load at the upper end of its error over an effective heat of ablation "
        f"of {heat}, no conduction"
    )
    yield _finding(entry, STOPS, "entry", text, figures, basis)


def _range(entry: Entry) -> Iterator[Finding]:
    """Yield a finding for a splash away from the place that the return was timed for."""
    off = entry.flown.range - entry.aimed
    if abs(off) > OFF:
        side = "beyond" if off > 0.0 else "short of"
        why = limits.off_range(entry.straight, limits.asked(entry))
        text = (
            f"the entry comes down {abs(off) / 1e3:.0f} km {side} where its return was timed for: "
            f"{why}{'' if entry.flown.peak.load > entry.limit else _instead(entry)}"
        )
        aimed, flown = apart(entry.aimed / 1e3, entry.flown.range / 1e3, 0)
        figures = Figures(
            f"{aimed} km from the interface, {OFF / 1e3:.0f} km off",
            f"{flown} km",
            Measured(OFF / 1e3, abs(off) / 1e3, "km", 0),
        )
        basis = "the range that bank angles reach within load and skip limits"
        yield _finding(entry, DECIDE, "splash", text, figures, basis)
    elif entry.miss > OFF:
        figures = at_most(OFF / 1e3, entry.miss / 1e3, "km", 0)
        text = (
            f"the entry comes down {figures.found} from where its return was timed for: "
            "its bank reversals do not hold it there"
        )
        yield _finding(entry, DECIDE, "splash", text, figures, "the deadbands tried")


def _parachutes(entry: Entry) -> Iterator[Finding]:
    chutes, down = entry.parachutes, existing(entry.descent, UNDER)
    less = existing(entry.one_drogue_less, f"{UNDER}, one drogue less")
    yield from _opening(entry, "drogues", down.drogue_opening, chutes.drogues, "", STOPS)
    found = list(_opening(entry, "mains", down.main_opening, chutes.mains, "", STOPS))
    after = " with one drogue failed"
    yield from found or _opening(entry, "mains", less.main_opening, chutes.mains, after, DECIDE)


def _opening(
    entry: Entry, kind: str, opens: Opening, limits: ParachuteSet, when: str, severity: Severity
) -> Iterator[Finding]:
    """Yield findings for canopies that open beyond their dynamic pressure or Mach limit."""
    event, key = f"{kind} open", f"parachutes.{kind}"
    if opens.pressure > limits.pressure_limit:
        figures = at_most(limits.pressure_limit / 1e3, opens.pressure / 1e3, "kPa")
        text = f"the {kind} open at a dynamic pressure of {figures.found}{when}, above their rating"
        basis = _key(entry, f"{key}.pressure_limit")
        yield _finding(entry, severity, event, text, figures, basis)
    if limits.mach_limit is not None and opens.mach > limits.mach_limit:
        limit, found = apart(limits.mach_limit, opens.mach, 2)
        text = f"the {kind} open at Mach {found}{when}, above their rating"
        measure = Measured(limits.mach_limit, opens.mach, "", 2)
        figures = Figures(f"Mach {limit} at most", f"Mach {found}", measure)
        yield _finding(entry, severity, event, text, figures, _key(entry, f"{key}.mach_limit"))


def _touchdown(entry: Entry) -> Iterator[Finding]:
    most, all_open = entry.parachutes.touchdown_limit, existing(entry.descent, UNDER).touchdown
    one_less = existing(entry.one_main_less, f"{UNDER}, one main less")
    surface = "water" if entry.parachutes.surface == "water" else "ground"
    cases = (
        (all_open, "", STOPS),
        (one_less.touchdown, " with one main failed", DECIDE),
    )
    for speed, when, severity in cases:
        if speed > most:
            figures = at_most(most, speed, "m/s")
            text = f"the crew module meets the {surface} at {figures.found}{when}, above its limit"
            basis = _key(entry, "parachutes.touchdown_limit")
            yield _finding(entry, severity, "splash", text, figures, basis)
            return
