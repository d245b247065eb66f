"""Where does what is dropped in the climb come down: on the sea, or where people may live?

The places are estimates without air, which would shorten the way: the last part of it is looked
at too. Land counts as lived on, as nothing here knows better; range safety is the range
authority's to decide, and where there are ships and aircraft is not known here.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from mplan.checks.finding import Finding
from mplan.flight.ended import comes_down
from mplan.flight.record import Flight
from mplan.physics.bodies import land
from mplan.physics.bodies.earth import geodetic_latitude
from mplan.physics.climb.impact import Impact
from mplan.physics.constants import R_EARTH
from mplan.scenario import Scenario
from mplan.scenario.wording import plain

SHORTENED = 0.05  # of the way, by the air (common practice, no source)
ASIDE = 20e3  # m about every place (common practice, no source)
SEA = "estimate, a fall without air; the range authority decides"
LAND = f"estimate, a fall without air; {land.RESOLUTION}; the range authority decides"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield where each dropped element comes down: a decision where that is land or near it."""
    climb = flight.climb
    for fall in climb.impacts if climb else ():
        yield _of(fall, flight.scenario)


def _of(fall: Impact, scenario: Scenario) -> Finding:
    where, far = comes_down(fall, scenario), f"{fall.range * R_EARTH / 1e3:,.0f} km"
    called, there = plain(fall.name), _place(fall, scenario)
    ashore = land.is_land(*there)
    near = ashore or _reaches_land(fall, scenario)
    text = f"{called} comes down {where}"
    if near:
        how = "comes down on land," if ashore else "may come down on land:"
        text = f"{called} {how} {where}"
    return Finding(
        severity="needs a decision" if near else "for information",
        check="impact",
        event=fall.name,
        text=text,
        limit="a cleared area of sea" if near else "a cleared area",
        found=far,
        basis=LAND if near else SEA,
        together="dropped elements come down on land or near it"
        if near
        else "dropped elements come down",
        item=f"{called} {where}",
    )


def _place(fall: Impact, scenario: Scenario) -> tuple[float, float]:
    """Return the place [rad] as the mask has it, by geodetic latitude."""
    return geodetic_latitude(fall.latitude), scenario.launch_site.longitude + fall.east


def _reaches_land(fall: Impact, scenario: Scenario) -> bool:
    """Return whether land lies beside the place, or beside the last part of the way there."""
    pad = scenario.launch_site.latitude, scenario.launch_site.longitude
    there = _place(fall, scenario)
    steps = ceil(SHORTENED * fall.range * R_EARTH / ASIDE)  # no island fits between two places
    shares = (1.0 - SHORTENED * i / max(1, steps) for i in range(steps + 1))
    return any(land.land_near(*land.along(pad, there, share), ASIDE) for share in shares)
