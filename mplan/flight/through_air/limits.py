"""What limits an entry: which largest load it is, and at which angles the planned range is served.

The corridor tells at which entry angles a ship can be brought down at all. Coming down on the
planned range as well asks for more: the angles that do, and what stops those beyond.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from mplan.flight.through_air.record import Entry
from mplan.physics import constants as c
from mplan.physics.entry import bank, reversals
from mplan.physics.entry.corridor import edge, steepened
from mplan.physics.entry.entry_flight import EntryFlight, EntryRow, EntryVehicle, Six
from mplan.physics.entry.entry_track import heat_of

OFF = 10e3  # m of range beyond which the aim point is missed (common practice, no source)
FELT = c.G0  # m/s2: smaller maxima of the load are no peaks (our choice)
LOOKED_AT = 8  # angles between the corridor's edges, where the entry's own does not serve
CLOSE = 0.02 * c.DEG


class PlannedAngles(NamedTuple):
    """Entry angles [rad] that come down on the planned range within all limits.

    `steep_by`, `shallow_by`: what stops the angles beyond, in words.
    """

    steep: float
    shallow: float
    steep_by: str
    shallow_by: str


def peaks(flown: EntryFlight) -> tuple[EntryRow, ...]:
    """Return the moments of the load's maxima above 1 g."""
    return tuple(row for row in flown.peaks if row.load > FELT)


def which_peak(flown: EntryFlight) -> str:
    """Return in words at which of its peaks the load is largest, and what came before it."""
    found = peaks(flown)
    if len(found) < 2 or flown.peak.t <= found[0].t:
        if flown.peak.up == 1.0:
            return "as it first meets the air, with all lift up"
        down = ", its lift down" if flown.peak.up < 0.0 else ""
        return f"as it first meets the air, at a bank of {_bank(flown)}{down}"
    low, high = flown.rows.index(found[0]), flown.rows.index(flown.peak)
    top = max(row.altitude for row in flown.rows[low:high])
    after = f"an arc up to {top / 1e3:.0f} km" if top > found[0].altitude else "gliding on"
    return f"in a second peak, after {after}, at a bank of {_bank(flown)}"


class Asked(NamedTuple):
    """What an entry is to hold: range [m], load [m/s2], flux [W/m2] and heat load [J/m2]."""

    start: Six
    vehicle: EntryVehicle
    stop: float
    aimed: float
    load: float
    nose_radius: float
    flux: float
    heat_load: float


def asked(entry: Entry) -> Asked:
    """Return what an entry is to hold."""
    shell = entry.aeroshell
    start, vehicle, stop = entry.start, entry.vehicle, entry.stop
    rated = shell.rated_heating, shell.rated_heat_load
    return Asked(start, vehicle, stop, entry.aimed, entry.limit, entry.nose_radius, *rated)


def trouble(flown: EntryFlight, wanted: Asked) -> str:
    """Return in words what keeps an entry from serving the plan; empty if nothing does."""
    if flown.end != "down":
        return "it skips out"
    if flown.peak.load > wanted.load:
        return f"{flown.peak.load / c.G0:.1f} g {which_peak(flown)}"
    if abs(flown.range - wanted.aimed) > OFF:
        return off_range(flown, wanted)
    heat = heat_of(flown.rows, wanted.nose_radius)
    if heat.upper_peak > wanted.flux:
        return f"heating of up to {heat.upper_peak / 1e6:.1f} MW/m2"
    if heat.upper_load > wanted.heat_load:
        return f"a heat load of up to {heat.upper_load / 1e6:.0f} MJ/m2"
    return ""


def off_range(flown: EntryFlight, wanted: Asked) -> str:
    """Return in words why an entry comes down beyond its range, or short of it."""
    if flown.range > wanted.aimed:
        return f"nearer takes more than {wanted.load / c.G0:g} g"
    return "further takes more lift than it has, or skips out"


def served(entry: Entry) -> PlannedAngles | None:
    """Return the angles that serve the planned range; None where none does.

    A third of a second, remembered: the entry is aimed from a dozen angles.
    """
    edges = entry.corridor
    return _served(asked(entry), entry.angle, edges.steep, edges.shallow)


@lru_cache(maxsize=64)
def _served(wanted: Asked, angle: float, steep: float, shallow: float) -> PlannedAngles | None:
    step = (shallow - steep) / LOOKED_AT
    tried = [angle, *(steep + (i + 0.5) * step for i in range(LOOKED_AT))]
    inside = next((each for each in tried if not _at(wanted, each)), None)
    if inside is None:
        return None
    first, last = (_edge(wanted, inside, end) for end in (steep - CLOSE, shallow + CLOSE))
    return PlannedAngles(first[0], last[0], first[1], last[1])


def _edge(wanted: Asked, inside: float, end: float) -> tuple[float, str]:
    """Return the last angle that serves on the way to `end`, and what stops the next one."""
    last = edge(lambda angle: not _at(wanted, angle), inside, end)
    return last, _at(wanted, last + (CLOSE if end > inside else -CLOSE))


def _at(wanted: Asked, angle: float) -> str:
    """Return what keeps an entry at another angle [rad] from serving."""
    start, stop = steepened(wanted.start, angle), wanted.stop
    spared = reversals.SPARED * wanted.load
    flown = bank.reach(start, wanted.vehicle, stop, wanted.aimed, spared)[-1]
    return trouble(flown, wanted)


def _bank(flown: EntryFlight) -> str:
    return f"{flown.steering.bank / c.DEG:.0f} deg"
