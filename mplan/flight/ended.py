"""Where a flight ends before its splash: the climb that does not reach its orbit."""

from __future__ import annotations

from collections.abc import Sequence

from mplan.flight.record import BurnRecord, Ended, Passage
from mplan.physics.climb.impact import Impact
from mplan.physics.climb.launch_climb import LaunchClimb
from mplan.physics.constants import MINUTE, R_EARTH
from mplan.scenario import Scenario
from mplan.scenario.figures import amount
from mplan.scenario.wording import place, plain


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
        return f"the {plain(burn.element)} runs dry at {high}, {short} m/s short{where}"
    return f"{climb.trouble}; the {plain(burn.element)} ends its thrust at {high}{where}"


def comes_down(fall: Impact, scenario: Scenario) -> str:
    """Return where and when something dropped comes down, in words."""
    there = place(fall.latitude, scenario.launch_site.longitude + fall.east)
    after = f"{fall.t / MINUTE:.1f} min after lift-off"
    return f"{fall.range * R_EARTH / 1e3:,.0f} km from the pad at {there}, {after}"
