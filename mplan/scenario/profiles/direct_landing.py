"""The whole ship lands and a part of it flies home: nothing waits in lunar orbit.

The ship goes into a low lunar orbit first, where the landing is prepared: that is where a direct
flight waits for its site. Where a second transfer stage stands above the one that injects, it
brakes into that orbit and lowers it, and is let go before the powered descent; else the descent
stage does it all. The service module lifts off the Moon into a low orbit and burns for home there.
"""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import needs, pieces
from mplan.scenario.profiles.pieces import Written

NAME = "direct landing and return"
NEEDS = needs.Needs(
    roles=(*needs.CRAFT, "descent stage"),
    keys=needs.LANDED_AND_BACK,
    steps=needs.THERE_AND_BACK,
    refuses=needs.ALONE,
    people="all land",
)


def events(data: raw.Data) -> list[Written]:
    """Return the events after the climb."""
    lander, home = pieces.one(data, "descent stage"), pieces.one(data, "service module")
    brakes = raw.with_role(data, "transfer stage")[1:]
    mover = brakes[0] if brakes else lander
    return [
        *pieces.outbound(data, mover),
        *pieces.into_lunar_orbit(data, mover),
        pieces.coast("checks in lunar orbit", "4 h"),
        *pieces.down(lander, lowers=mover),
        {"do": "stay"},
        *pieces.off_the_moon(lander, home),
        *pieces.homeward(data, home),
    ]
