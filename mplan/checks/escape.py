"""Can the crew get out at every moment of the climb: from the pad, at most air, after the tower?

The blast of a stack and the loads of a fall are estimates; they decide nothing alone.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from mplan.checks.finding import Finding, Severity
from mplan.contingencies.climb_aborts import abort_modes, is_covered
from mplan.contingencies.climb_point import ClimbPoint
from mplan.contingencies.tower_escape import TowerEscape, escape_from, failure
from mplan.flight.record import Flight
from mplan.physics.climb import blast
from mplan.scenario.escape import Escape
from mplan.scenario.figures import Figures, FoundNumber, at_least, at_most
from mplan.scenario.wording import plain
from mplan.vehicle import escape as assembly
from mplan.vehicle import mass

TABLE = "the [escape] table of the element; loads are estimates"
LIMITS = "the scenario's [aborts]; loads and delta-v are estimates"
FIREBALL = "estimate, diameter 9.82 W^0.32 ft (High 1968, from memory)"
SAMPLES = 5  # moments after the tower at which a gap is looked for; the study looks at all


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on the escape tower, and on the climb after it, or that there is none.

    None where nobody is aboard.
    """
    if not flight.scenario.mission.crew:
        return
    found = assembly.motor(flight.scenario)
    if found is None:
        yield _no_way_out()
        return
    yield from _motor(flight, *found)
    pad = ClimbPoint(flight, None)
    escaped = escape_from(pad)
    if escaped is not None:
        yield from _leaving(pad, escaped, "an escape from the pad", found[0])
        yield from _into_the_fire(escaped, found[0])
    yield from _on_the_way(flight, found[0])


def _no_way_out() -> Finding:
    text = "nothing takes the crew off the stack on the pad or in the air: no escape is described"
    figures = Figures("an element with an [escape] table", "none")
    return Finding("needs a decision", "escape", "the stack", text, figures, TABLE)


def _motor(flight: Flight, name: str, escape: Escape) -> Iterator[Finding]:
    weighs = mass.dry(flight.scenario.elements[name], flight.scenario)
    if escape.propellant >= weighs:
        text = f"the motor of {plain(name)} holds more propellant than the whole tower weighs"
        figures = at_most(weighs, escape.propellant, "kg", 0)
        yield _finding(name, text, figures, TABLE, "stops the flight")


def _leaving(point: ClimbPoint, escaped: TowerEscape, what: str, name: str) -> Iterator[Finding]:
    reason = failure(point, escaped)
    if not reason:
        return
    limits = assembly.stated_motor(point.scenario)
    ratio = f"thrust-to-weight {escaped.tower.thrust_to_weight:.1f}"
    amounts = (FoundNumber(escaped.tower.thrust_to_weight, 1),)
    text = f"{what} fails on estimated loads: {reason}"
    if escaped.pull <= 0.0:
        wanted = "more thrust than drag and the stack's own acceleration take"
        figures = Figures(wanted, ratio, amounts=amounts)
        yield _finding(name, text, figures, TABLE, "stops the flight")
        return
    limit = f"{limits.overpressure_limit / 1e3:g} kPa at most, {limits.minimum_apogee:g} m at least"
    figures = Figures(limit, ratio, amounts=amounts)
    yield _finding(name, text, figures, TABLE, "needs a decision")


def _into_the_fire(escaped: TowerEscape, name: str) -> Iterator[Finding]:
    """Tell when the highest point of a pad escape lies over the fireball."""
    radius, _ = blast.fireball(escaped.propellant)
    aside = escaped.rows[-1].along
    if aside < radius:
        text = "an escape from the pad ends over the fireball: its downrange distance is too short"
        figures = at_least(radius, aside, "m", 0)
        yield _finding(name, text, figures, FIREBALL, "needs a decision")


def _on_the_way(flight: Flight, name: str) -> Iterator[Finding]:
    track = flight.end.climb.track
    thickest = ClimbPoint(flight, int(np.argmax(track.dynamic_pressure)))
    escaped = escape_from(thickest)
    if escaped is not None:
        what = f"an escape at {thickest.t:.0f} s, at maximum dynamic pressure,"
        yield from _leaving(thickest, escaped, what, name)
    gone = _cast_off(flight, name)
    if gone is None:
        return
    after = [i for i in range(len(track.t)) if track.t[i] > gone]
    for i in after[:: max(1, len(after) // SAMPLES)]:
        point = ClimbPoint(flight, i)
        if not is_covered(point):
            found = abort_modes(point)
            text = f"no abort mode is open at {track.t[i]:.0f} s: " + "; ".join(
                f"{mode.name}: {mode.closed}" for mode in found[1:]
            )
            figures = Figures("one open abort mode", "none")
            yield _finding(name, text, figures, LIMITS, "needs a decision")
            return


def _cast_off(flight: Flight, name: str) -> float | None:
    """Return when the tower is dropped [s since lift-off], None if never."""
    for each in flight.passages:
        if each.event.do == "jettison" and name in each.event.elements:
            return each.moment.elapsed
    return None


def _finding(name: str, text: str, figures: Figures, basis: str, severity: Severity) -> Finding:
    return Finding(severity, "escape", name, text, figures, basis, (name,))
