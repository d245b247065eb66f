"""Is the Sun where the crew can read the ground when they land?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.bodies import sight
from mplan.physics.constants import DEG
from mplan.scenario.figures import apart

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
    """Yield a finding when the Sun stands too low or too high at touchdown."""
    sun = sun_at_landing(flight)
    if sun is None:
        return
    place = flight.scenario.site
    if place.sun_min <= sun <= place.sun_max:
        return
    too = "too low" if sun < place.sun_min else "too high"
    what = "below the horizon" if sun < 0.0 else too
    nearest = place.sun_min if sun < place.sun_min else place.sun_max
    found = apart(nearest / DEG, sun / DEG)[1]
    yield Finding(
        severity="needs a decision",
        check="light",
        event="landing",
        text=f"Sun outside limits: it stands {what} over the landing site at touchdown",
        limit=f"elevation of {place.sun_min / DEG:g} to {place.sun_max / DEG:g} deg",
        found=f"{found} deg",
        basis=LIMITS,
    )
