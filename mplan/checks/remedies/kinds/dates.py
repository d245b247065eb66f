"""Days on which the Sun stands where it should, or the return leads to the recovery area.

The Sun goes round the Moon's sky in a synodic month: the days on which its elevation over the
site fits are looked up at the planned hour of the mission and then flown.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from mplan.checks.finding import Finding
from mplan.checks.remedies.proposal import Proposal
from mplan.checks.remedies.trials import Trials
from mplan.flight.record import Flight
from mplan.physics.bodies import sight
from mplan.physics.constants import DAY, DEG, HOUR
from mplan.scenario.dates import FIRST_DAY, LAST_DAY

SPAN = 31  # d that launch days are sought before and after the planned one
SLACK = 3.0 * DEG  # of elevation: lift-off moves within its day
LAUNCHES = 4  # days that are flown for one finding


def of_light(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield the launch days on which the Sun stands within its limits at touchdown."""
    landing = next(x.elapsed for x in flight.moments if x.kind == "land")
    site = flight.scenario.site
    middle = (site.sun_min + site.sun_max) / 2.0
    off = {}
    for day in range(-SPAN, SPAN + 1):
        t = flight.end.lift_off + landing + day * DAY
        sun = sight.sun_elevation(site.latitude, site.longitude, t)
        if day and site.sun_min - SLACK <= sun <= site.sun_max + SLACK:
            off[day] = abs(sun - middle)
    nearest = sorted(off, key=lambda day: (abs(day) > SPAN / 2, off[day]))[:LAUNCHES]
    yield from (_launch(flight, day) for day in sorted(nearest, key=abs) if _known(flight, day))
    yield from _longer_wait(flight)


def _longer_wait(flight: Flight) -> Iterator[Proposal]:
    """Propose a day more in the coast out, for a Sun that is a little too low or too high."""
    coast = flight.scenario.dates.translunar_time
    if coast is None:
        return
    for hours in (12, -12):
        longer = coast / HOUR + hours
        if 60.0 <= longer <= 110.0:
            yield Proposal(
                f"a coast out of {longer:.0f} h", {"dates.translunar_time": f"{longer} h"}
            )


def of_recovery(finding: Finding, flight: Flight, trials: Trials) -> Iterator[Proposal]:
    """Yield returns a day earlier or later, and launch days, from which the area is reached."""
    for key in ("surface_stay", "lunar_orbit_stay"):
        stay = getattr(flight.scenario.mission, key)
        for days in (1, -1, 2) if stay is not None else ():
            longer = stay + days * DAY
            if longer > 0.0:
                said = f"a stay of {longer / HOUR:.1f} h"
                yield Proposal(said, {f"mission.{key}": f"{longer / HOUR} h"})
    home = flight.scenario.dates.transearth_time
    for hours in (24, -24):
        longer = (home or 0.0) / HOUR + hours
        if 48.0 <= longer <= 120.0:
            said = f"a coast home of {longer:.0f} h"
            yield Proposal(said, {"dates.transearth_time": f"{longer} h"})
    yield from (_launch(flight, day) for day in (1, -1, 7, 14) if _known(flight, day))


def _known(flight: Flight, days: int) -> bool:
    """Tell whether the ephemeris holds for a launch so many days later."""
    day = flight.scenario.dates.launch_day + timedelta(days=days)
    return FIRST_DAY <= day <= LAST_DAY


def _launch(flight: Flight, days: int) -> Proposal:
    day = flight.scenario.dates.launch_day + timedelta(days=days)
    return Proposal(f"launch on {day}", {"dates.launch_day": day.isoformat()})
