"""Is the Sun where the crew can read the ground when they land?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.bodies import sight
from mplan.physics.constants import DEG
from mplan.scenario.figures import Figures, Measured, apart

SEEN = "the ground is seen by sunlight; landing_site.sun_min allows less"
LIMITS = "landing_site.sun_min and sun_max; the usual 5 deg to 14 deg are common practice"


def sun_at_landing(flight: Flight) -> float | None:
    """Return the Sun's elevation [rad] over the landing site at touchdown, if the flight lands."""
    for moment in flight.moments:
        if moment.kind == "land":
            t = flight.end.lift_off + moment.elapsed
            place = flight.scenario.site
            return sight.sun_elevation(place.latitude, place.longitude, t)
    return None


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding when the Sun stands too low or too high at touchdown.

    In the dark the landing is to be decided on, whatever the limits allow.
    """
    sun = sun_at_landing(flight)
    if sun is None:
        return
    place = flight.scenario.site
    lowest, highest = place.sun_min, place.sun_max
    limit, basis, outside = f"{lowest / DEG:g} to {highest / DEG:g} deg", LIMITS, "outside limits"
    if lowest <= sun <= highest:
        if sun >= 0.0:
            return
        limit, basis, outside, lowest = "0 deg or more", SEEN, "within limits, but no light", 0.0
    too = "too low" if sun < lowest else "too high"
    what = "below the horizon" if sun < 0.0 else too
    nearest = lowest if sun < lowest else highest
    found = apart(nearest / DEG, sun / DEG)[1]
    measure = Measured(nearest / DEG, sun / DEG, "deg", least=sun < lowest)
    yield Finding(
        severity="needs a decision",
        check="light",
        event="landing",
        text=f"Sun {outside}: it stands {what} over the landing site at touchdown",
        figures=Figures(f"elevation of {limit}", f"{found} deg", measure),
        basis=basis,
    )
