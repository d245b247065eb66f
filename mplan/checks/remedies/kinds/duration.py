"""What would shorten a mission: a shorter stay, faster coasts."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from mplan.checks import radiation
from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.physics.constants import HOUR
from mplan.physics.living import dose_rates
from mplan.scenario.stated import stated

FASTEST = 60.0 * HOUR  # of a coast that is shortened (common practice, no source)


def proposals(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes that end the mission within its limit."""
    over = flight.duration - flight.scenario.mission.longest_duration
    yield from shorter_by(flight, over)
    yield from _faster(flight, over)


def of_dose(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield changes that end the mission as much sooner as the dose is beyond its limit."""
    limit = stated(flight.scenario.radiation, "radiation").dose_limit
    over = max(each.most for each in radiation.doses(flight)) - limit
    yield from shorter_by(flight, over / dose_rates.LUNAR_SURFACE.least)
    yield from _faster(flight, over / dose_rates.FREE_SPACE.least)


def shorter_by(flight: Flight, seconds: float) -> Iterator[Proposal]:
    """Yield the stay at the Moon that is shorter by so much, if that leaves one."""
    mission = flight.scenario.mission
    for key in ("surface_stay", "lunar_orbit_stay"):
        stay = getattr(mission, key)
        if stay is not None and stay > seconds > 0.0:
            hours = floor((stay - seconds) / HOUR * 10.0) / 10.0
            yield Proposal(f"a stay of {hours:.1f} h", {f"mission.{key}": f"{hours} h"})


def _faster(flight: Flight, seconds: float) -> Iterator[Proposal]:
    """Yield each coast between Earth and Moon faster by so much, if it stays above 60 h."""
    for key, what in (("translunar_time", "out"), ("transearth_time", "home")):
        now = getattr(flight.scenario.dates, key)
        if now is not None and now - seconds >= FASTEST:
            hours = (now - ceil(seconds / HOUR) * HOUR) / HOUR
            yield Proposal(f"a coast {what} of {hours:.0f} h", {f"dates.{key}": f"{hours} h"})
