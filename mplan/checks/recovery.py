"""Does the ship come down where help is?"""

from __future__ import annotations

from collections.abc import Iterator
from math import acos, cos, sin

from mplan.checks.finding import Finding
from mplan.flight.record import Flight
from mplan.physics.constants import R_EARTH


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding when the estimated splash lies outside the recovery area."""
    area, splash = flight.scenario.recovery, flight.splash
    if area is None or splash is None:
        return
    away = distance(splash.latitude, splash.longitude, area.latitude, area.longitude)
    if away > area.radius:
        yield Finding(
            severity="needs a decision",
            check="recovery",
            event="splash",
            text=f"the splash lies {away / 1e3:.0f} km from the middle of {area.name}",
            asked=f"{area.radius / 1e3:.0f} km at most",
            there=f"{away / 1e3:.0f} km",
            source="the scenario's [recovery]",
        )


def distance(latitude: float, longitude: float, to_latitude: float, to_longitude: float) -> float:
    """Return the great-circle distance [m] between two places on Earth [rad], on a sphere."""
    cosine = sin(latitude) * sin(to_latitude) + cos(latitude) * cos(to_latitude) * cos(
        longitude - to_longitude
    )
    return R_EARTH * acos(max(-1.0, min(1.0, cosine)))
