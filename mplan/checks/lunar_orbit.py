"""How low does the ship come while it waits in lunar orbit, where the Moon's field moves perilune?

Heights are over the 1737.4 km sphere. The mass concentrations beyond the field that is flown move
a perilune by some kilometres more: a planning study's figures, no flight approval.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, pi, sqrt

from mplan.checks.finding import Finding
from mplan.flight import lunar_orbit as planned
from mplan.flight.record import Flight, Passage
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.orbit import apsides
from mplan.physics.burns.orbit_upkeep import FASTEST
from mplan.physics.constants import DAY, HOUR, R_MOON
from mplan.scenario.figures import Figures, FoundNumber, at_least
from mplan.scenario.wording import plain

HIGHEST_GROUND = 10.8e3  # m above the sphere, LOLA (Smith et al. 2010, GRL 37, L18204), from memory
SAFE = 15e3  # m, lowest perilune of a ship that is to stay in orbit (common practice, no source)
EARTH_TURN = 2.0 * pi / (27.32166 * DAY)  # rad/s, sidereal, from memory
OFF = 5e3  # m between an apsis as stated and as reached, of which nothing is said
LOOK = 6.0 * HOUR  # s, between looks at an orbit that waits


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield findings where perilune sinks below what is safe, and an apsis is not as stated."""
    yield from _not_as_stated(flight)
    height, event = _lowest_of(flight)
    if height >= SAFE:
        return
    figures = at_least(SAFE / 1e3, height / 1e3, "km")
    yield Finding(
        severity="stops the flight" if height < HIGHEST_GROUND else "needs a decision",
        check="lunar orbit",
        event=event,
        text=f"the ship's perilune sinks to {figures.found} above the 1737.4 km sphere by "
        f"{plain(event)}",
        figures=figures,
        basis=f"ground up to {HIGHEST_GROUND / 1e3:g} km, and the Moon's field to "
        f"{flight.scenario.orbits.lunar_gravity}",
    )


def _not_as_stated(flight: Flight) -> Iterator[Finding]:
    """Yield what the last burn into the orbit came to, where Earth's pull took it elsewhere."""
    shaped = [each for each in flight.lunar_orbits if each.shaped]
    if not shaped:
        return
    low, high = planned.radius(flight.scenario), planned.apolune(flight.scenario)
    last, stated = shaped[-1], "lunar_altitude" if high == low else "lunar_apolune"
    for name, key, found, wanted in (
        ("perilune", "lunar_altitude", last.apsides.perilune, low),
        ("apolune", stated, last.apsides.apolune, high),
    ):
        if abs(found - wanted) > OFF:
            told, is_ = (f"{(x - R_MOON) / 1e3:,.0f} km" for x in (wanted, found))
            yield Finding(
                severity="for information",
                check="lunar orbit",
                event=last.event,
                text=f"{last.event} leads to a {name} of {is_}; {told} are stated",
                figures=Figures(told, is_, amounts=(FoundNumber((found - R_MOON) / 1e3, 0),)),
                basis=f"orbits.{key}; the pull of Earth, and the field, on the ellipses before it",
            )


def lowest(flight: Flight) -> float:
    """Return the least height [m] above the sphere of the ship's perilune; inf if it has none."""
    return _lowest_of(flight)[0]


def _lowest_of(flight: Flight) -> tuple[float, str]:
    waits = [(lowest_perilune(each), each.moment.event) for each in flight.passages if _waits(each)]
    return min(waits, default=(inf, ""))


def _waits(passage: Passage) -> bool:
    return passage.before.moon is not None and passage.after.moon is not None


def lowest_perilune(passage: Passage) -> float:
    """Return the least height [m] above the sphere of the ship's perilune during an event.

    Looked at in between only where it could be unsafe there.
    """
    first, last = passage.before.orbit, passage.after.orbit
    least = min(perilune(first), perilune(last))
    if least > SAFE + max(FASTEST, _pulled(first)) * (last.t - first.t):
        return least
    return min(map(perilune, _looked_at(first, last)))


def _pulled(orbit: LunarOrbit) -> float:
    """Return how fast [m/s] Earth may move a perilune: of a long ellipse, tens of km a day.

    Four times the mean over a month at the worst inclination and argument, de/dt = 15/8 n'2 / n e
    sqrt(1 - e2) (Murray and Dermott 1999, ch. 7, to the quadrupole; from memory): what goes to and
    fro within a fortnight is twice as fast as that.
    """
    e, n = orbit.e, 2.0 * pi / orbit.period
    mean = 15.0 / 8.0 * EARTH_TURN**2 / n * e * sqrt(max(0.0, 1.0 - e * e))
    return 4.0 * orbit.a * mean


def perilune(orbit: LunarOrbit) -> float:
    """Return the height [m] above the sphere of an orbit's perilune."""
    return apsides(orbit)[0] - R_MOON


def _looked_at(orbit: LunarOrbit, end: LunarOrbit) -> Iterator[LunarOrbit]:
    """Yield the orbit every few hours of a wait, and the one it ends in."""
    while orbit.t < end.t - LOOK:
        orbit = coast(orbit, LOOK)
        yield orbit
    yield end
