"""Where does what is dropped in the climb come down: on the sea, or where people may live?

The whole ellipse of a fall is looked at, not its middle alone. Land counts as lived on, as nothing
here knows better; range safety is the range authority's to decide, and where there are ships and
aircraft is not known here.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import ceil, cos, pi

import numpy as np

from mplan.checks.finding import Finding
from mplan.flight.ended import comes_down, footprints
from mplan.flight.record import Flight
from mplan.physics.bodies import land
from mplan.physics.bodies.earth import geodetic_latitude
from mplan.physics.climb.impact import Ellipse, Footprint, Impact, outline
from mplan.physics.constants import DEG, R_EARTH
from mplan.scenario import Scenario
from mplan.scenario.figures import Figures, FoundNumber
from mplan.scenario.wording import plain, verb

CELLS = 2.0 * land.CELL * DEG * R_EARTH  # m, of the mask either side
POLAR = 80.0 * DEG  # beyond which a box about a place makes no sense
ASIDE = 20e3  # m about every place looked at, that no island fits between two of them
FALL = "estimate: a tumbling fall, 3 standard deviations by [climb.falls]"
SEA = f"{FALL}; the range authority decides"
LAND = f"{FALL}; {land.RESOLUTION}; the range authority decides"


def findings(flight: Flight) -> Iterator[Finding]:
    """Yield where each dropped element comes down: a decision where that is land or near it."""
    for found in footprints(flight):
        yield _of(found, flight.scenario)


def _of(found: Footprint, scenario: Scenario) -> Finding:
    fall = found.impact
    where, far = comes_down(fall, scenario) + _within(found), fall.range * R_EARTH / 1e3
    called = plain(fall.name)
    there = _place((fall.latitude, fall.east), scenario.launch_site.longitude)
    ashore = land.is_land(*there)
    near = ashore or _reaches_land(found, scenario.launch_site.longitude)
    comes = verb(called, "comes", "come")
    text = f"{called} {comes} down {where}"
    if near:
        how = f"{comes} down on land," if ashore else "may come down on land:"
        text = f"{called} {how} {where}"
    return Finding(
        severity="needs a decision" if near else "for information",
        check="impact",
        event=fall.name,
        text=text,
        figures=Figures(
            "a cleared area of sea" if near else "a cleared area",
            f"{far:,.0f} km",
            amounts=(FoundNumber(far, 0),),
        ),
        basis=LAND if near else SEA,
        together="dropped elements come down on land or near it"
        if near
        else "dropped elements come down",
        item=f"{called} {where}",
    )


def _within(found: Footprint) -> str:
    """Return the ellipse in words."""
    if found.ellipse is None:
        return "; with an error of one standard deviation it stays up"
    along, across = (f"{2.0 * axis / 1e3:,.0f}" for axis in found.ellipse[:2])
    return f", within {along} by {across} km"


def _place(there: tuple[float, float], pad: float) -> tuple[float, float]:
    """Return a place [rad], east of a `pad`'s longitude, as the mask has it: geodetic latitude."""
    return geodetic_latitude(there[0]), pad + there[1]


def _open_sea(there: Impact, reach: float, pad: float) -> bool:
    """Return whether there is sea alone within `reach` [m], asked of one box about it all.

    Most falls lead there, and need no closer look. Nearer to a pole the box is made wider, as
    meridians close in; `CELLS` are those in which places are counted.
    """
    far = abs(there.latitude) + (reach + CELLS) / R_EARTH
    if far > POLAR:
        return False
    wide = (reach + CELLS) * cos(there.latitude) / cos(far)
    return not land.land_near(*_place((there.latitude, there.east), pad), wide)


@lru_cache(maxsize=256)  # as many as footprints are remembered
def _reaches_land(found: Footprint, pad: float) -> bool:
    """Return whether land lies within the ellipse; true where there is no telling how far.

    `pad` is the longitude [rad] that the ellipse lies east of.
    """
    if found.ellipse is None:
        return True
    if _open_sea(found.impact, found.ellipse.major + ASIDE, pad):
        return False
    if _near_land(_ring(found, found.ellipse, 1.0), pad):
        return True  # where there is land within, most often some of it lies at the edge
    places = [(found.impact.latitude, found.impact.east)]
    rings = max(1, ceil(found.ellipse.major / ASIDE))
    for ring in range(1, rings):
        places += _ring(found, found.ellipse, ring / rings)
    return _near_land(places, pad)


def _ring(found: Footprint, ellipse: Ellipse, share: float) -> list[tuple[float, float]]:
    """Return places round the ellipse, or a `share` of it, `ASIDE` apart or closer."""
    return outline(found, max(4, ceil(2.0 * pi * share * ellipse.major / ASIDE)), share)


def _near_land(places: list[tuple[float, float]], pad: float) -> bool:
    """Return whether land lies within `ASIDE` of any of the places."""
    latitudes, longitudes = np.array([_place(each, pad) for each in places]).T
    return bool(land.near_land(latitudes, longitudes, ASIDE).any())
