"""Where a flight ends before its splash, and what no flight can be: a clock that runs back."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite

from mplan.flight.record import BurnRecord, Ended, Flight, Passage
from mplan.flight.unflyable import Unflyable
from mplan.physics.climb.impact import FallErrors, Footprint, Impact, footprint
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.constants import DAY, HOUR, MINUTE, R_EARTH
from mplan.scenario import Scenario
from mplan.scenario.figures import amount
from mplan.scenario.wording import place, plain, verb

ROUNDING = 1e-6  # s
LONGEST = 400.0 * DAY  # the ephemeris goes on for as long after its last launch day
FASTEST = 2e4  # m/s, of one burn: more than any leg to the Moon and back asks for


def require_sound(last: Sequence[Passage], index: int) -> None:
    """Raise Unflyable where what was flown cannot be: `last` ends with the event of `index`.

    The clock runs forward and no longer than 400 days, a burn begins after the one before it has
    ended, and masses, durations and velocities are numbers that a craft can have.
    """
    passage = last[-1]
    for text, accepted in (*_clock(last), *_figures(passage)):
        where = ("events", index)
        raise Unflyable(where, f"{passage.moment.event} {text}; accepted: {accepted}")


def _clock(last: Sequence[Passage]) -> list[tuple[str, str]]:
    passage, burn = last[-1], last[-1].burn
    lost = passage.before.elapsed - passage.after.elapsed
    found = []
    if lost > ROUNDING:
        found.append(
            (f"would end {lost / HOUR:.2f} h before it begins", "shorter coasts before it")
        )
    if passage.after.elapsed > LONGEST:
        days = passage.after.elapsed / DAY
        text = f"would end {days:.1f} d after lift-off"
        found.append((text, f"a mission of {LONGEST / DAY:.0f} d at most"))
    before = last[0].burn if len(last) > 1 else None
    if burn is not None and before is not None and burn.leg != "climb":
        over = last[0].after.elapsed - burn.elapsed
        if over > ROUNDING:
            text = f"would begin {over:.0f} s before {before.name} ends"
            found.append((text, "a coast between them"))
    return found


def _figures(passage: Passage) -> list[tuple[str, str]]:
    burn, mass = passage.burn, passage.moment.mass
    found = []
    if not (isfinite(mass) and mass > 0.0):
        found.append((f"would happen to a craft of {mass:g} kg", "elements that weigh something"))
    if burn is None:
        return found
    if not (isfinite(burn.duration) and burn.duration >= 0.0):
        found.append((f"would last {burn.duration:g} s", "a thrust and a mass that can be built"))
    if not (abs(burn.required) < FASTEST and isfinite(burn.available)):
        found.append(_too_fast(passage, burn))
    return found


def _too_fast(passage: Passage, burn: BurnRecord) -> tuple[str, str]:
    """Return what is wrong; of a climb that reaches no orbit, why: its figures say nothing."""
    launched = passage.after.launched
    if burn.leg == "climb" and launched is not None and not launched.climb.reached:
        return f"leads nowhere: {launched.climb.trouble}", "stages that reach the orbit"
    text = f"would require {burn.required / 1e3:.4g} km/s of {burn.available / 1e3:.4g} km/s"
    return text, f"less than {FASTEST / 1e3:g} km/s a burn"


def short_of_orbit(passages: Sequence[Passage]) -> Ended | None:
    """Return why the flight ends with the last passage, if that is the last thrust of a climb."""
    last = passages[-1]
    launched = last.after.launched
    if last.burn is None or launched is None or launched.climb.reached:
        return None
    climb, above = launched.climb, launched.climb.parts[launched.stages_burned :]
    if climb.rises and any(part.propellant for part in above):
        return None  # a stage has still to burn
    text = _why(last.burn, climb, last.after.scenario)
    return Ended(text, last.burn.name, len(passages) - 1)


def _why(burn: BurnRecord, climb: LaunchClimb, scenario: Scenario) -> str:
    if not climb.rises:
        return climb.trouble
    where = f"; comes down {comes_down(climb.fallen, scenario)}" if climb.fallen else ""
    high = f"{climb.track.altitude[-1] / 1e3:.0f} km"
    if climb.left < 0.0:
        short = amount(burn.required - burn.available, 0)
        runs = verb(burn.element, "runs", "run")
        return f"the {plain(burn.element)} {runs} dry at {high}, {short} m/s short{where}"
    ends = verb(burn.element, "ends its", "end their")
    return f"{climb.trouble}; the {plain(burn.element)} {ends} thrust at {high}{where}"


def footprints(flight: Flight) -> tuple[Footprint, ...]:
    """Return where what is dropped in the climb comes down, each with its ellipse."""
    climb, stated = flight.climb, flight.scenario.climb.falls
    if climb is None:
        return ()
    errors = FallErrors(
        stated.ballistic_coefficient,
        stated.separation_speed,
        stated.separation_direction,
        stated.wind,
    )
    pad = climb.launch.latitude, climb.launch.weather, errors
    found = [footprint(body, *pad) for body in climb.falling]
    return tuple(each for each in found if each)


def comes_down(fall: Impact, scenario: Scenario) -> str:
    """Return where and when something dropped comes down, in words."""
    there = place(fall.latitude, scenario.launch_site.longitude + fall.east)
    after = f"{fall.t / MINUTE:.1f} min after lift-off"
    return f"{fall.range * R_EARTH / 1e3:,.0f} km from the pad at {there}, {after}"
