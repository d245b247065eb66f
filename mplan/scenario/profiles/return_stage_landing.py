"""The lander takes crew module and return stage down; the return stage brings the crew home.

The lander goes into lunar orbit itself, where the landing is prepared; a service module does that
where there is one, and is let go before the descent. The ascent stage is the return stage: it lifts
the crew module off the Moon into a low orbit, burns for home there and goes along to the entry.
"""

from __future__ import annotations

from mplan.scenario import raw
from mplan.scenario.profiles import needs, pieces
from mplan.scenario.profiles.pieces import Written

NAME = "landing with the return stage"
NEEDS = needs.Needs(
    roles=("launch stage", "descent stage", "ascent stage", "crew module"),
    keys=needs.LANDED_AND_BACK,
    steps=needs.THERE_AND_BACK,
    refuses=needs.ALONE,
    people="all land",
)


def events(data: raw.Data) -> list[Written]:
    """Return the events after the climb."""
    lander, home = pieces.one(data, "descent stage"), pieces.one(data, "ascent stage")
    mover = [*raw.with_role(data, "service module"), lander][0]
    return [
        *pieces.outbound(data, mover),
        *pieces.into_lunar_orbit(data, mover),
        pieces.coast("checks in lunar orbit", "4 h"),
        *([pieces.jettison(mover)] if mover != lander else []),
        *pieces.down(lander),
        {"do": "stay"},
        *pieces.off_the_moon(lander, home),
        *pieces.homeward(data, home),
    ]
