"""Whether a scenario makes sense as a whole: what its profile needs, values, order of events."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import get_args

from mplan.scenario import quantities, raw
from mplan.scenario.events import BurnLeg
from mplan.scenario.lines import Path
from mplan.scenario.profiles import CORRECTIONS, LANDING, NEEDS, PLANE_CHANGE
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import choices, shown


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield what does not fit together, missing keys apart (see `missing`)."""
    needs = NEEDS.get(_profile(data))
    if needs is not None:
        yield from _unused_keys(data)
        yield from _roles(data)
    yield from _crew(data)
    yield from _values_out_of_order(data)
    yield from _capture(data)
    if "events" in data:
        yield from _ends(data)
        yield from _coasts(data)
        yield from _gone(data)
        yield from _legs(data)
        yield from _turns(data)


def missing(data: raw.Data) -> set[Path]:
    """Return the paths of keys that the profile needs and the file lacks."""
    needs = NEEDS.get(_profile(data))
    if needs is None:
        return set()
    stated = () if raw.table(data, "errors") else CORRECTIONS  # else they are worked out
    return {
        tuple(key.split("."))
        for key in (*needs.keys, *stated)
        if raw.value(data, key) is None and raw.table(data, *key.split(".")[:-1])
    }


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
        if not raw.with_role(data, role):
            text = (
                f"no element has the role {shown(role)}, which the profile {shown(profile)} needs"
            )
            yield KeyProblem(("stack",), text)


def _crew(data: raw.Data) -> Iterator[KeyProblem]:
    mission = raw.table(data, "mission")
    crew, landing = mission.get("crew"), mission.get("landing_crew", 0)
    if not (isinstance(crew, int) and isinstance(landing, int)) or crew < 1:
        return
    if mission.get("profile") == LANDING and not 1 <= landing <= crew:
        text = f"found {landing}; accepted: from 1 to the crew, {crew}"
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
    ("orbits.descent_perilune", "at most", "orbits.lunar_altitude", "length"),
    ("orbits.ascent_perilune", "at most", "orbits.ascent_apolune", "length"),
)
_ENGINE_ORDER = (
    ("thrust_sea_level", "at most", "thrust_vacuum", "force"),
    ("isp_sea_level", "at most", "isp_vacuum", "time"),
)
_PARACHUTE_ORDER = ("mains.altitude", "at most", "drogues.altitude", "length")


def _values_out_of_order(data: raw.Data) -> Iterator[KeyProblem]:
    for rule in _ORDER:
        yield from _compare(data, "", *rule)
    for name, element in raw.elements(data).items():
        yield from _compare(data, f"elements.{name}.parachutes.", *_PARACHUTE_ORDER)
        for engine in raw.table(element, "engines"):
            for rule in _ENGINE_ORDER:
                yield from _compare(data, f"elements.{name}.engines.{engine}.", *rule)


def _compare(
    data: raw.Data, prefix: str, key: str, relation: str, other: str, kind: str
) -> Iterator[KeyProblem]:
    written, limit = (raw.value(data, prefix + each) for each in (key, other))
    here, there = (quantities.read(kind, each) for each in (written, limit))
    if here is None or there is None:
        return
    if here < there if relation == "at least" else here > there:
        text = f"found {shown(written)}; accepted: {relation} {other}, {shown(limit)}"
        yield KeyProblem(tuple((prefix + key).split(".")), text)


def _ends(data: raw.Data) -> Iterator[KeyProblem]:
    listed = data["events"]
    if not isinstance(listed, list) or not listed:
        yield KeyProblem(("events",), 'found none; the first is "lift-off", the last "splash"')
        return
    for word, index, kind in (("first", 0, "lift-off"), ("last", len(listed) - 1, "splash")):
        found = listed[index].get("do") if isinstance(listed[index], dict) else None
        if found != kind:
            text = f"found {shown(found)}; the {word} event is always {shown(kind)}"
            yield KeyProblem(("events", index, "do"), text)


def _coasts(data: raw.Data) -> Iterator[KeyProblem]:
    for index, event in raw.events(data):
        if event.get("do") != "coast":
            continue
        if ("leg" in event) == ("duration" in event):
            both = "both" if "leg" in event else "neither"
            text = f"a coast has either a leg or a duration; this one has {both}"
            yield KeyProblem(("events", index), text)


def _gone(data: raw.Data) -> Iterator[KeyProblem]:
    """Find elements that are called upon after they were jettisoned."""
    gone: dict[str, int] = {}
    for index, event in raw.events(data):
        for path, name in raw.named_in(event):
            if name in gone:
                text = f"{shown(name)} was jettisoned before, by events.{gone[name]}"
                yield KeyProblem(("events", index, *path), text)
        if event.get("do") == "jettison":
            gone.update(dict.fromkeys(raw.texts(event.get("elements")), index))


def _legs(data: raw.Data) -> Iterator[KeyProblem]:
    """Check the burns: those that the profile needs, in the order in which they are flown."""
    order = get_args(BurnLeg)
    flown = [
        (index, event["leg"])
        for index, event in raw.events(data)
        if event.get("do") == "burn" and event.get("leg") in order
    ]
    once = [each for each in flown if each[1] != PLANE_CHANGE]
    for (_, before), (index, leg) in pairwise(once):
        if order.index(leg) < order.index(before):
            text = f"found {shown(leg)} after {shown(before)}; it is flown before"
            yield KeyProblem(("events", index, "leg"), text)
    burns = [event for _, event in raw.events(data) if event.get("do") == "burn"]
    if len(flown) == len(burns):  # a misspelt leg is told elsewhere
        yield from _legs_required(data, [leg for _, leg in flown])


def _capture(data: raw.Data) -> Iterator[KeyProblem]:
    turn, apolune = "capture_plane_change", "capture_apolune"
    turns, ellipse = (raw.value(data, f"orbits.{key}") is not None for key in (turn, apolune))
    if turns and not ellipse:
        text = f"missing, as orbits.{turn} turns the plane there"
        yield KeyProblem(("orbits", apolune), text)


def _turns(data: raw.Data) -> Iterator[KeyProblem]:
    """Check the plane changes: in lunar orbit, and each with an angle or a site to turn to."""
    burns = (event if event.get("do") == "burn" else {} for _, event in raw.events(data))
    legs = [event.get("leg") for event in burns]
    circular = "lunar-orbit circularisation"
    for place, (index, event) in enumerate(raw.events(data)):
        if event.get("leg") != PLANE_CHANGE:
            if "turn" in event and event.get("do") == "burn":
                text = f"used by the leg {shown(PLANE_CHANGE)} only"
                yield KeyProblem(("events", index, "turn"), text)
            continue
        if "lunar-orbit insertion" not in legs[:place] or "trans-Earth injection" in legs[:place]:
            text = f"found {shown(PLANE_CHANGE)} outside lunar orbit"
            yield KeyProblem(("events", index, "leg"), text)
        captured = circular in legs[place:] and raw.value(data, "orbits.capture_plane_change")
        to_site = circular not in legs[place:] and "lunar ascent" in legs[place:]
        if "turn" not in event and not captured and not to_site:
            text = "missing: no orbits.capture_plane_change or landing site tells by how much"
            yield KeyProblem(("events", index, "turn"), text)


def _legs_required(data: raw.Data, flown: list[str]) -> Iterator[KeyProblem]:
    needs = NEEDS.get(_profile(data))
    if needs is None:
        return
    lacking = [leg for leg in needs.legs if leg not in flown]
    if lacking:
        yield KeyProblem(("events",), f"no burn event has the leg {choices(lacking)}")
    second = "lunar-orbit circularisation"
    if raw.value(data, "orbits.capture_apolune") is not None and second not in flown:
        yield KeyProblem(
            ("orbits", "capture_apolune"), f"no burn event has the leg {shown(second)}"
        )
    before = flown[: flown.index(second)] if second in flown else flown
    if raw.value(data, "orbits.capture_plane_change") is not None and PLANE_CHANGE not in before:
        text = f"no burn event has the leg {shown(PLANE_CHANGE)} before {shown(second)}"
        yield KeyProblem(("orbits", "capture_plane_change"), text)
    if raw.value(data, "orbits.capture_apolune") is None and second in flown:
        text = f"missing, as a burn has the leg {shown(second)}"
        yield KeyProblem(("orbits", "capture_apolune"), text)
