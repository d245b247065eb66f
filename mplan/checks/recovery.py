"""Does the crew module come down within the recovery area, and on what it is made for?"""

from __future__ import annotations

from collections.abc import Iterator

from mplan.checks.finding import Finding
from mplan.flight.entry import Splash
from mplan.flight.record import Flight
from mplan.physics.arcs.recovery import other_days
from mplan.physics.bodies import land
from mplan.physics.bodies.downrange import ground_distance
from mplan.physics.constants import DEG, R_EARTH
from mplan.scenario.figures import Figures, at_most
from mplan.scenario.models import Recovery
from mplan.scenario.wording import place, plain
from mplan.vehicle.stack import crew_module

NEAR = 20e3  # m, by which the splash may be off (common practice, no source)
GROUND = f"surface of its parachutes; {land.RESOLUTION}"
WORTH_TELLING = 0.5 * DEG  # of latitude, that another day brings


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield a finding when the splash lies outside the recovery area, or on the wrong ground."""
    area, splash = flight.scenario.recovery, flight.splash
    if splash is None:
        return
    yield from _ground(flight, splash)
    if area is None:
        return
    away = ground_distance((splash.latitude, splash.longitude), (area.latitude, area.longitude))
    if away > area.radius:
        figures, basis = (
            at_most(area.radius / 1e3, away / 1e3, "km", 0),
            "the scenario's [recovery]",
        )
        text = f"the splash lies {figures.found} from the middle of {area.name}{_why(flight, area)}"
        yield Finding("needs a decision", "recovery", "splash", text, figures, basis)


def _ground(flight: Flight, splash: Splash) -> Iterator[Finding]:
    """Yield that the crew comes down on land, or at sea, and is not made for it."""
    home = crew_module(flight.scenario)
    chutes = flight.scenario.elements[home].parachutes
    meant = chutes.surface if chutes else "water"
    there = splash.latitude, splash.longitude
    where, ashore = place(*there), land.is_land(*there)
    if meant == "land" and not ashore:
        text = f"the crew comes down at sea, at {where}, in a {plain(home)} made for land"
    elif meant == "water" and ashore:
        text = f"the crew comes down on land, at {where}, in a {plain(home)} made for water"
    elif meant == "water" and land.land_near(*there, NEAR):
        text = f"the crew may come down on land: {where} lies within {NEAR / 1e3:g} km of it"
    else:
        return
    figures = Figures(meant, "land" if ashore else f"water, land within {NEAR / 1e3:g} km")
    if meant == "land":
        figures = Figures(meant, "water")
    yield Finding("needs a decision", "recovery", "splash", text, figures, GROUND, (home,))


def _why(flight: Flight, area: Recovery) -> str:
    """Return how near in latitude the planes of this date come, and which date does better."""
    home = flight.end.homeward
    if home is None or home.reach is None or home.reach[0] <= area.latitude <= home.reach[1]:
        return ""
    nearest = min(home.reach, key=lambda x: abs(x - area.latitude))
    text = f": return planes of this date come no nearer than latitude {nearest / DEG:.1f} deg"
    slack = area.radius / R_EARTH
    days, there = other_days(home.interface.t, home.reach, area.latitude, slack)
    if abs(there - area.latitude) > abs(nearest - area.latitude) - WORTH_TELLING:
        return text
    when = "later" if days > 0 else "earlier"
    plural = "" if abs(days) == 1 else "s"
    return text + f"; home {abs(days)} day{plural} {when} it is about {there / DEG:.0f} deg"
