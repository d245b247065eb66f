"""Does the climb reach its orbit within the limits of crew and stack?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding, Severity
from mplan.flight.record import Flight
from mplan.flight.state import existing
from mplan.physics.climb.launch_climb import ClimbPeak, LaunchClimb
from mplan.scenario import Scenario
from mplan.scenario.figures import Figures, at_most
from mplan.scenario.wording import plain, verb

LIMITS = "the scenario's [climb]"
FLOWN = "the flown climb"
SLACK = 1.01  # of a limit: thrust is held to it from step to step
BRISK = 45.0  # m/s2, above which a climb without a stated limit is pointed out
PRACTICE = "common practice, no source"
STOPS: Severity = "stops the flight"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings on orbit, acceleration, dynamic pressure and timed jettisons."""
    climb = existing(flight.climb, "a climb")
    yield from _orbit(climb, flight)
    yield from _limits(climb, flight.scenario)
    yield from _surplus(climb)
    yield from _too_late(flight)


def _orbit(climb: LaunchClimb, flight: Flight) -> Iterator[Finding]:
    """Yield why the flight ends short of its orbit.

    What runs dry is told by the delta-v that its burn lacks, a stack that never leaves the pad by
    its thrust.
    """
    if flight.ended is None or climb.left < 0.0 or not climb.rises:
        return
    stage = climb.vehicle.stages[min(1, len(climb.vehicle.stages) - 1)]
    subject, text = (stage.name, _engine(stage.name, flight.scenario)), flight.ended.text
    figures = Figures("orbit reached", "no")
    yield Finding(STOPS, "climb", "parking orbit", text, figures, FLOWN, subject)


def _engine(element: str, scenario: Scenario) -> str:
    burns = (x for x in scenario.events if x.do == "burn" and x.element == element)
    named = next((x.engine for x in burns if x.engine), None)
    return named or next(iter(scenario.elements[element].engines))


def _surplus(climb: LaunchClimb) -> Iterator[Finding]:
    """Yield that a stage below the last one ends the climb, if it does."""
    idle = [part for part in climb.parts if part.propellant == 0.0]
    if not climb.reached or not idle:
        return
    ends = climb.parts[climb.parts.index(idle[0]) - 1]
    last, unlit = plain(ends.name), plain(idle[0].name)
    text = f"{last} {verb(last, 'reaches', 'reach')} the orbit with {ends.left / 1e3:.1f} t of "
    text += f"propellant left: {unlit} {verb(unlit, 'burns', 'burn')} nothing in the climb"
    does = verb(unlit, "does", "do")
    figures = Figures("every stage of the climb burns", f"{unlit} {does} not")
    yield Finding("needs a decision", "climb", ends.name, text, figures, FLOWN)


def _too_late(flight: Flight) -> Iterator[Finding]:
    """Yield each jettison timed past the end of its burn, at which it was flown instead."""
    burn = None
    for event in flight.scenario.events:
        if event.do == "burn":
            flown = (x for x in flight.burns if (x.name, x.element) == (event.title, event.element))
            burn = next(flown, None)
        if event.do != "jettison" or event.at is None or burn is None or event.at <= burn.duration:
            continue
        figures = at_most(burn.duration, event.at, "s", 0)
        text = f"{event.title} is timed {figures.found} after the ignition of {burn.name}, which "
        text += f"lasts {figures.limit.removesuffix(' at most')}"
        yield Finding(STOPS, "climb", event.title, text, figures, "at of the event")


def _limits(climb: LaunchClimb, scenario: Scenario) -> Iterator[Finding]:
    most, stated = climb.most_acceleration, scenario.climb.acceleration_limit
    if stated is not None and most.value > SLACK * stated:
        yield _over("acceleration", most, stated, 1.0, "m/s2", LIMITS)
    elif stated is None and most.value > BRISK:
        yield _over("acceleration", most, BRISK, 1.0, "m/s2", PRACTICE)
    most, stated = climb.most_dynamic_pressure, scenario.climb.pressure_limit
    if stated is not None and most.value > SLACK * stated:
        yield _over("dynamic pressure", most, stated, 1e3, "kPa", LIMITS)


def _over(what: str, most: ClimbPeak, limit: float, unit: float, name: str, basis: str) -> Finding:
    figures = at_most(limit / unit, most.value / unit, name)
    text = f"the climb's {what} rises to {figures.found} at {most.t:.0f} s"
    return Finding("needs a decision", "climb", what, text, figures, basis)
