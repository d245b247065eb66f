"""How low does the ship come while it waits in lunar orbit, where the Moon's field moves perilune?

Heights are over the 1737.4 km sphere. The mass concentrations beyond the field that is flown move
a perilune by some kilometres more: a planning study's figures, no flight approval.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, pi, sqrt

from mplan.checks.finding import Finding
from mplan.flight import lunar_orbit as planned
from mplan.flight.arrival.orbits_flown import shapes
from mplan.flight.record import Flight, Passage
from mplan.flight.state import State, existing
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.orbit import apsides
from mplan.physics.burns.orbit_upkeep import FASTEST
from mplan.physics.constants import DAY, HOUR, R_MOON
from mplan.scenario.figures import Figures, FoundNumber, at_least
from mplan.scenario.wording import plain
from mplan.vehicle.same import remembered

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
    last = next(filter(shapes, reversed(flight.passages)), None)
    if last is None:
        return
    low, high = planned.radius(flight.scenario), planned.apolune(flight.scenario)
    nearest, farthest = apsides(last.after.orbit)
    event, stated = last.moment.event, "lunar_altitude" if high == low else "lunar_apolune"
    for name, key, found, wanted in (
        ("perilune", "lunar_altitude", nearest, low),
        ("apolune", stated, farthest, high),
    ):
        if abs(found - wanted) > OFF:
            told, is_ = (f"{(x - R_MOON) / 1e3:,.0f} km" for x in (wanted, found))
            yield Finding(
                severity="for information",
                check="lunar orbit",
                event=event,
                text=f"{event} leads to a {name} of {is_}; {told} are stated",
                figures=Figures(told, is_, amounts=(FoundNumber((found - R_MOON) / 1e3, 0),)),
                basis=f"orbits.{key}; the pull of Earth, and the field, on the ellipses before it",
            )


def lowest(flight: Flight) -> float:
    """Return the least height [m] above the sphere of the ship's perilune; inf if it has none."""
    return _lowest_of(flight)[0]


def _lowest_of(flight: Flight) -> tuple[float, str]:
    found: list[tuple[float, str]] = []
    coasts: list[Passage] = []
    for each in (*filter(_waits, flight.passages), None):
        if each is not None and each.burn is None:
            coasts.append(each)
            continue
        found += _through(coasts)
        coasts = []
        if each is not None:
            found.append((lowest_perilune(each), each.moment.event))
    return min(found, default=(inf, ""))


def _through(coasts: list[Passage]) -> list[tuple[float, str]]:
    """Return the lowest perilunes of events in a row without a burn, and the events.

    The orbit they begin and the one they end in tell, but where it could be unsafe in between.
    """
    if not coasts:
        return []
    first, last = _made(coasts[0].before), coasts[-1].after.orbit
    least = min(perilune(first), perilune(last))
    if least > _safe_for(first, last):
        return [(least, coasts[-1].moment.event)]
    return [(lowest_perilune(each), each.moment.event) for each in coasts]


def _made(state: State) -> LunarOrbit:
    """Return the ship's orbit as the burn before made it."""
    return existing(state.moon, "an orbit about the Moon").stated


def _safe_for(first: LunarOrbit, last: LunarOrbit) -> float:
    """Return the height [m] above which the perilunes of two orbits tell of all between them."""
    return SAFE + max(FASTEST, _pulled(first)) * (last.t - first.t)


def _waits(passage: Passage) -> bool:
    return passage.before.moon is not None and passage.after.moon is not None


def lowest_perilune(passage: Passage) -> float:
    """Return the least height [m] above the sphere of the ship's perilune during an event.

    Looked at in between only where it could be unsafe there.
    """
    first = passage.before.orbit
    last = passage.after.orbit if passage.burn is None else _made(passage.after)
    least = min(perilune(first), perilune(last))
    if least > _safe_for(first, last):
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


@remembered(64)  # the orbit that an event ends in is the one that the next begins in
def perilune(orbit: LunarOrbit) -> float:
    """Return the height [m] above the sphere of an orbit's perilune."""
    return apsides(orbit)[0] - R_MOON


def _looked_at(orbit: LunarOrbit, end: LunarOrbit) -> Iterator[LunarOrbit]:
    """Yield the orbit every few hours of a wait, and the one it ends in."""
    while orbit.t < end.t - LOOK:
        orbit = coast(orbit, LOOK)
        yield orbit
    yield end
