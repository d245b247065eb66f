"""Whether a scenario makes sense as a whole: what its profile needs, values, keys of events.

The order of events is no input error: it is judged before the flight (`flight.sequence`).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import cos, sin

from mplan.scenario import quantities, raw
from mplan.scenario.profiles import (
    APOLUNE_CHANGE,
    CORRECTIONS,
    FREE_RETURN,
    HYBRID,
    NEEDS,
    PLANE_CHANGE,
)
from mplan.scenario.reading.lines import Path
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import shown

LEVEL = 1e-9  # cosine of an inclination: less is 90 deg, which both senses come to


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield what does not fit together, missing keys apart (see `missing`)."""
    needs = NEEDS.get(_profile(data))
    if needs is not None:
        yield from _unused_keys(data)
        yield from _roles(data)
    yield from _crew(data)
    yield from _values_out_of_order(data)
    yield from _capture(data)
    yield from _lunar_orbit(data)
    yield from _approach(data)
    yield from _wind(data)
    yield from _translunar_arc(data)
    if "events" in data:
        yield from _none(data)
        yield from _coasts(data)
        yield from _circularisation(data)
        yield from _turns(data)
        yield from _apolunes(data)


def missing(data: raw.Data) -> set[Path]:
    """Return the paths of keys that the profile needs and the file lacks."""
    needs = NEEDS.get(_profile(data))
    if needs is None:
        return set()
    return {
        tuple(key.split("."))
        for key in (*needs.keys, *_allowances(data))
        if raw.value(data, key) is None
        and not (key == "dates.translunar_time" and _arc(data) == FREE_RETURN)
        and (raw.table(data, *key.split(".")[:-1]) or key in _allowances(data))
    }


def _allowances(data: raw.Data) -> tuple[str, ...]:
    """Return the corrections that have to be stated: all, unless errors work them out.

    Of a file that has no table of them and events of its own, those that its events make.
    """
    if raw.table(data, "errors") or not isinstance(data.get("allowances", {}), dict):
        return ()
    if data.get("allowances") or "events" not in data:
        return CORRECTIONS
    made = {event.get("leg") for _, event in raw.events(data)}
    return tuple(key for key in CORRECTIONS if key.split(".")[1].replace("_", " ") in made)


def roles_complete(data: raw.Data) -> bool:
    """Return whether the stack has an element for each role that the profile needs."""
    known = _profile(data) in NEEDS
    return known and bool(raw.stack(data)) and not any(_roles(data))


def _profile(data: raw.Data) -> str:
    """Return the profile as written, or ""."""
    return raw.text(data, "mission.profile") or ""


def _unused_keys(data: raw.Data) -> Iterator[KeyProblem]:
    profile = _profile(data)
    for key, why in NEEDS[profile].refuses.items():
        if raw.value(data, key) is not None:
            yield KeyProblem(
                tuple(key.split(".")), f"not used by the profile {shown(profile)}: {why}"
            )


def _roles(data: raw.Data) -> Iterator[KeyProblem]:
    profile = _profile(data)
    for role in NEEDS[profile].roles if raw.stack(data) else ():
        if not raw.anywhere_with_role(data, role):
            text = (
                f"no element has the role {shown(role)}, which the profile {shown(profile)} needs"
            )
            yield KeyProblem(("stack",), text)


def _crew(data: raw.Data) -> Iterator[KeyProblem]:
    mission = raw.table(data, "mission")
    crew, landing = mission.get("crew"), mission.get("landing_crew", 0)
    if not (isinstance(crew, int) and isinstance(landing, int)) or crew < 0:
        return
    needs = NEEDS.get(_profile(data))
    people = needs.people if needs is not None else "aboard"
    if (people == "none") != (crew == 0):
        accepted = "0, as nobody is aboard" if crew else "1 or more, but on a cargo flight"
        yield KeyProblem(("mission", "crew"), f"found {crew}; accepted: {accepted}")
        return
    if people == "some land" and not 1 <= landing <= crew:
        text = f"found {landing}; accepted: from 1 to the crew, {crew}"
        yield KeyProblem(("mission", "landing_crew"), text)
    if people in ("all land", "none") and landing != crew:
        text = f"found {landing}; accepted: {crew}, as the whole ship lands"
        text = text if crew else f"found {landing}; accepted: 0, as nobody is aboard"
        yield KeyProblem(("mission", "landing_crew"), text)
    for index, event in raw.events(data):
        moving = event.get("crew")
        if isinstance(moving, int) and moving > crew:
            text = f"found {moving}; accepted: at most the crew of the mission, {crew}"
            yield KeyProblem(("events", index, "crew"), text)


# key, relation, other key, kind
_ORDER = (
    ("launch_site.azimuth", "at least", "launch_site.azimuth_min", "angle"),
    ("launch_site.azimuth", "at most", "launch_site.azimuth_max", "angle"),
    ("orbits.capture_apolune", "at least", "orbits.lunar_altitude", "length"),
    ("orbits.capture_apolune", "at least", "orbits.lunar_apolune", "length"),
    ("orbits.lunar_apolune", "at least", "orbits.lunar_altitude", "length"),
    ("orbits.descent_perilune", "at most", "orbits.lunar_altitude", "length"),
    ("orbit_upkeep.lowest_perilune", "at most", "orbits.lunar_altitude", "length"),
    ("orbits.ascent_perilune", "at most", "orbits.ascent_apolune", "length"),
)
_ENGINE_ORDER = (
    ("thrust_sea_level", "at most", "thrust_vacuum", "force"),
    ("isp_sea_level", "at most", "isp_vacuum", "time"),
)
_TANK_ORDER = (
    ("residuals", "at most", "load", "mass"),
    ("capacity", "at least", "load", "mass"),
)
_PART_ORDERS = {"tanks": _TANK_ORDER, "engines": _ENGINE_ORDER}
_PARACHUTE_ORDER = ("mains.altitude", "at most", "drogues.altitude", "length")


def _values_out_of_order(data: raw.Data) -> Iterator[KeyProblem]:
    for rule in _ORDER:
        yield from _compare(data, (), data, *rule)
    for name, element in raw.elements(data).items():
        here = ("elements", name)
        parachutes = raw.table(element, "parachutes")
        yield from _compare(data, (*here, "parachutes"), parachutes, *_PARACHUTE_ORDER)
        for key, rules in _PART_ORDERS.items():
            for part, body in raw.table(element, key).items():
                for rule in rules:
                    yield from _compare(data, (*here, key, part), body, *rule)


def _compare(
    data: raw.Data, here: Path, table: object, key: str, relation: str, other: str, kind: str
) -> Iterator[KeyProblem]:
    """Compare two values of the `table` that stands at `here`."""
    written, limit = raw.value(table, key), raw.value(table, other)
    if written is None or limit is None:
        return
    value, bound = quantities.read(kind, written), quantities.read(kind, limit)
    if value is None or bound is None:
        return
    if key == "orbits.descent_perilune":
        value += _level(data)
    if value < bound if relation == "at least" else value > bound:
        text = f"found {shown(written)}; accepted: {relation} {other}, {shown(limit)}"
        yield KeyProblem((*here, *key.split(".")), text)


def _level(data: raw.Data) -> float:
    """Return how far above the sphere [m] the heights of the descent orbit are counted from."""
    if raw.value(data, "orbits.heights_above") != "site":
        return 0.0
    return quantities.read("length", raw.value(data, "landing_site.elevation")) or 0.0


def _wind(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield the rows of the wind that are not above the one before."""
    rows = raw.table(raw.table(data, "climb"), "wind").get("rows")
    if not isinstance(rows, list):
        return
    heights = [quantities.read("length", row[0]) if _cells(row) else None for row in rows]
    for index, (low, high) in enumerate(pairwise(heights), 1):
        if low is not None and high is not None and high <= low:
            before, found = rows[index - 1][0], rows[index][0]
            text = f"found {shown(found)} after {shown(before)}; accepted: rising altitudes"
            yield KeyProblem(("climb", "wind", "rows", index), text)


def _cells(row: object) -> bool:
    return isinstance(row, list) and bool(row)


def _none(data: raw.Data) -> Iterator[KeyProblem]:
    if not isinstance(data["events"], list) or not data["events"]:
        text = 'found none; accepted: events from "lift-off" to "splash", or no key at all'
        yield KeyProblem(("events",), text)


def _coasts(data: raw.Data) -> Iterator[KeyProblem]:
    for index, event in raw.events(data):
        if event.get("do") != "coast":
            continue
        if ("leg" in event) == ("duration" in event):
            both = "both" if "leg" in event else "neither"
            text = f"a coast has either a leg or a duration; this one has {both}"
            yield KeyProblem(("events", index), text)


def _capture(data: raw.Data) -> Iterator[KeyProblem]:
    turn, apolune = "capture_plane_change", "capture_apolune"
    turns, ellipse = (raw.value(data, f"orbits.{key}") is not None for key in (turn, apolune))
    if turns and not ellipse:
        text = f"missing, as orbits.{turn} turns the plane there"
        yield KeyProblem(("orbits", apolune), text)
    steps = raw.value(data, "orbits.capture_revolutions")
    if isinstance(steps, int) and steps > 1 and not ellipse:
        text = f"missing, as orbits.capture_revolutions = {steps} lowers it step by step"
        yield KeyProblem(("orbits", apolune), text)


def _lunar_orbit(data: raw.Data) -> Iterator[KeyProblem]:
    """Check what an orbit of a stated inclination or argument of perilune goes with."""
    placed = raw.value(data, "orbits.lunar_argument_of_perilune") is not None
    if placed and raw.value(data, "orbits.lunar_apolune") is None:
        text = "missing: a circle has no argument of perilune"
        yield KeyProblem(("orbits", "lunar_apolune"), text)
    written = raw.value(data, "orbits.lunar_inclination")
    inclination = quantities.read("angle", written)
    if inclination is None:
        return
    sense, along = raw.value(data, "orbits.approach"), cos(inclination)
    if (sense == "retrograde" and along > LEVEL) or (sense == "prograde" and along < -LEVEL):
        accepted = "90 deg to 180 deg" if sense == "retrograde" else "0 deg to 90 deg"
        text = f'found {shown(written)}; accepted with orbits.approach = "{sense}": {accepted}'
        yield KeyProblem(("orbits", "lunar_inclination"), text)
    if raw.value(data, "orbits.capture_plane_change") is not None:
        text = "leave it out: the way to the Moon is aimed for orbits.lunar_inclination"
        yield KeyProblem(("orbits", "capture_plane_change"), text)


def _arc(data: raw.Data) -> object:
    return raw.value(data, "orbits.translunar_arc")


def _translunar_arc(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield what a constrained arc decides itself, and a perilune of a free return not flown."""
    arc = _arc(data)
    decided = {FREE_RETURN: ("translunar_time", "launch_time"), HYBRID: ("launch_time",)}
    for key in decided.get(arc, ()) if isinstance(arc, str) else ():
        if raw.value(data, f"dates.{key}") is not None:
            text = f'leave it out: it follows from orbits.translunar_arc = "{arc}"'
            yield KeyProblem(("dates", key), text)
    if arc != HYBRID and raw.value(data, "orbits.free_return_perilune") is not None:
        text = f'leave it out: it belongs to orbits.translunar_arc = "{HYBRID}"'
        yield KeyProblem(("orbits", "free_return_perilune"), text)


def _approach(data: raw.Data) -> Iterator[KeyProblem]:
    """Check the approach azimuth: in the sense of the orbit, and the only one to tell the turn."""
    key = ("orbits", "approach_azimuth")
    written = raw.value(data, "orbits.approach_azimuth")
    azimuth = quantities.read("angle", written)
    if azimuth is None:
        return
    prograde = raw.value(data, "orbits.approach") == "prograde"
    if (sin(azimuth) > 0.0) != prograde:
        sense, accepted = ("prograde", "0 to 180") if prograde else ("retrograde", "180 to 360")
        text = f"found {shown(written)}; accepted with a {sense} approach: {accepted} deg"
        yield KeyProblem(key, text)
    legs = [event.get("leg") for _, event in raw.events(data)]
    before = legs[: legs.index("powered descent")] if "powered descent" in legs else legs
    stated_turns: list[Path] = [
        ("events", index, "turn")
        for index, event in raw.events(data)
        if index < len(before) and event.get("leg") == PLANE_CHANGE and "turn" in event
    ]
    if raw.value(data, "orbits.capture_plane_change") is not None:
        stated_turns.append(("orbits", "capture_plane_change"))
    for place in stated_turns:
        text = "leave it out: orbits.approach_azimuth tells by how much the plane turns"
        yield KeyProblem(place, text)


def _turns(data: raw.Data) -> Iterator[KeyProblem]:
    """Check the plane changes: each has an angle or a site to turn to."""
    burns = (event if event.get("do") == "burn" else {} for _, event in raw.events(data))
    legs = [event.get("leg") for event in burns]
    circular = "lunar-orbit circularisation"
    for place, (index, event) in enumerate(raw.events(data)):
        if event.get("leg") != PLANE_CHANGE:
            if "turn" in event and event.get("do") == "burn":
                text = f"used by the leg {shown(PLANE_CHANGE)} only"
                yield KeyProblem(("events", index, "turn"), text)
            continue
        captured = circular in legs[place:] and raw.value(data, "orbits.capture_plane_change")
        captured = captured or raw.value(data, "orbits.approach_azimuth") is not None
        to_site = circular not in legs[place:] and "lunar ascent" in legs[place:]
        if "turn" not in event and not captured and not to_site:
            text = "missing: no orbits.capture_plane_change or landing site tells by how much"
            yield KeyProblem(("events", index, "turn"), text)


def _apolunes(data: raw.Data) -> Iterator[KeyProblem]:
    """Check the apolune changes: each has an apolune to lead to, and nothing else states one."""
    planned = ("orbits.lunar_apolune", "orbits.capture_apolune")
    for index, event in raw.events(data):
        if event.get("leg") != APOLUNE_CHANGE:
            if "apolune" in event and event.get("do") == "burn":
                text = f"used by the leg {shown(APOLUNE_CHANGE)} only"
                yield KeyProblem(("events", index, "apolune"), text)
        elif "apolune" not in event and all(raw.value(data, key) is None for key in planned):
            text = f"missing: neither {' nor '.join(planned)} tells what it leads to"
            yield KeyProblem(("events", index, "apolune"), text)


def _circularisation(data: raw.Data) -> Iterator[KeyProblem]:
    second = "lunar-orbit circularisation"
    flown = [x.get("leg") for _, x in raw.events(data) if x.get("do") == "burn"]
    if raw.value(data, "orbits.capture_apolune") is None and second in flown:
        text = f"missing, as a burn has the leg {shown(second)}"
        yield KeyProblem(("orbits", "capture_apolune"), text)
