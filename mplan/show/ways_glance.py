"""A glance at the ways out in one line, for who has no time for more; it brings in no pictures."""

from __future__ import annotations

from mplan.contingencies.ways_out.glance import glance
from mplan.contingencies.ways_out.looks import CLOSED, NOT_EXAMINED, WaysLook
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.told import clock
from mplan.flight.record import Flight
from mplan.scenario.wording import plain


def glanced(flight: Flight) -> str:
    """Return what a glance sees in one line; "" where nobody is aboard, or the flight ended."""
    looks = glance(flight)
    if not looks:
        return ""
    shut = [x for x in looks if CLOSED in x.kinds]
    unknown = sum(NOT_EXAMINED in x.kinds for x in looks)
    clear = "one is open at each that was examined" if unknown < len(looks) else "none was flown"
    parts = [_shut(flight, shut[0]) if shut else clear]
    parts += [f"{len(shut) - 1} more"] if len(shut) > 1 else []
    parts += [f"{unknown} not examined"] if unknown else []
    where = f"main engine lost, one look at each of {len(looks)} stretches beyond Earth orbit"
    return f"ways out, {where}: {'; '.join(parts)} (mplan ways looks at all)"


def _shut(flight: Flight, seen: WaysLook) -> str:
    stretch = CabinPoint(flight, seen.cabin, seen.elapsed).stretch
    at = f"{clock(seen.elapsed)}, {stretch}"
    return f"none of {plain(seen.cabin)} at {at}"
