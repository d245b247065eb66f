"""The kinds of mission: what each needs to be told, and the events it goes through.

`default_events` writes what a file without events of its own leaves out; a planner who wants
another order pastes `as_toml(default_events(...))` into the file and edits it there.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from mplan.scenario import raw

LANDING = "lunar-orbit-rendezvous landing"
ORBIT = "lunar orbit and return"
FLYBY = "free-return flyby"
HYBRID_TRANSFER = "hybrid transfer"  # on the way to the Moon, of a hybrid arc
HYBRID, FREE_RETURN = "hybrid", "free return"  # of orbits.translunar_arc
PLANE_CHANGE = "lunar-orbit plane change"  # flown whenever the ship is in lunar orbit

UNCOVERED = "30 s"  # after the second stage's ignition (common practice, no source)

_Event = dict[str, Any]


class Needs(NamedTuple):
    """Roles in the stack, keys and burn legs a profile needs, and keys it has no use for."""

    roles: tuple[str, ...]
    keys: tuple[str, ...]
    legs: tuple[str, ...]
    refuses: dict[str, str]


_LANDING_ONLY = dict.fromkeys(
    (
        "landing_site",
        "mission.surface_stay",
        "orbits.heights_above",
        "orbits.approach_azimuth",
        "orbits.plane_turn",
        "orbits.descent_perilune",
        "orbits.ascent_perilune",
        "orbits.ascent_apolune",
        "descent",
        "lunar_ascent",
        "rendezvous",
    ),
    "it does not land",
)
_ORBIT_ONLY = dict.fromkeys(
    (
        "orbits.translunar_arc",
        "orbits.free_return_perilune",
        "orbits.lunar_altitude",
        "orbits.capture_apolune",
        "orbits.capture_plane_change",
        "mission.lunar_orbit_stay",
    ),
    "it does not enter lunar orbit",
)
_COASTS = ("dates.translunar_time", "dates.transearth_time")
_DECIDED = (*_COASTS, "dates.launch_time")
CORRECTIONS = ("allowances.outbound_correction", "allowances.homeward_correction")
_FLYBY_ONLY = {"orbits.flyby_altitude": "it enters lunar orbit"}
_CRAFT = ("launch stage", "service module", "crew module")
_THERE_AND_BACK = (
    "climb",
    "translunar injection",
    "lunar-orbit insertion",
    "trans-Earth injection",
)

NEEDS = {
    LANDING: Needs(
        (*_CRAFT, "descent stage", "ascent stage"),
        (
            "landing_site",
            "mission.surface_stay",
            *_COASTS,
            "orbits.lunar_altitude",
            "orbits.descent_perilune",
            "orbits.ascent_perilune",
            "orbits.ascent_apolune",
        ),
        (
            *_THERE_AND_BACK,
            "descent-orbit insertion",
            "powered descent",
            "lunar ascent",
            "rendezvous",
        ),
        {"mission.lunar_orbit_stay": "the landing decides it", **_FLYBY_ONLY},
    ),
    ORBIT: Needs(
        _CRAFT,
        ("mission.lunar_orbit_stay", *_COASTS, "orbits.lunar_altitude"),
        _THERE_AND_BACK,
        {**_LANDING_ONLY, **_FLYBY_ONLY},
    ),
    FLYBY: Needs(
        _CRAFT,
        ("orbits.flyby_altitude",),
        ("climb", "translunar injection"),
        {
            **_LANDING_ONLY,
            **_ORBIT_ONLY,
            **dict.fromkeys((*_DECIDED, "recovery"), "it follows from the free return"),
        },
    ),
}


def default_events(data: raw.Data) -> list[_Event]:
    """Return the events of the mission's profile for its stack, as a file would state them.

    `data` holds the scenario's tables as written (quantities as text), with a known profile and
    an element for each role it needs.
    """
    phases = {LANDING: _landing_mission, ORBIT: _orbit_mission, FLYBY: _flyby_mission}
    return [*_to_parking_orbit(data), *phases[data["mission"]["profile"]](data)]


def as_toml(events: Iterable[_Event]) -> str:
    """Return events as the `[[events]]` tables of a scenario file."""
    import tomlkit  # only for those who write files

    tables = []
    for event in events:
        lines = [f"{key} = {tomlkit.item(value).as_string()}" for key, value in event.items()]
        tables.append("\n".join(["[[events]]", *lines, ""]))
    return "\n".join(tables)


def _landing_mission(data: raw.Data) -> list[_Event]:
    return [
        *_outbound(data, docks=True),
        *_into_lunar_orbit(data),
        *_to_the_surface(data),
        *_back_to_orbit(data),
        *_leave_lunar_orbit(data),
        *_homeward(data),
    ]


def _orbit_mission(data: raw.Data) -> list[_Event]:
    return [
        *_outbound(data, docks=False),
        *_into_lunar_orbit(data),
        {"do": "stay"},
        *_leave_lunar_orbit(data),
        *_homeward(data),
    ]


def _flyby_mission(data: raw.Data) -> list[_Event]:
    return [*_outbound(data, docks=False), *_homeward(data)]


def _to_parking_orbit(data: raw.Data) -> list[_Event]:
    """Climb stage by stage; escape tower and fairing go once the second one burns well.

    A stage that stands beside another on the pad burns with it.
    """
    stages = [x for x in raw.with_role(data, "launch stage") if not _stands_beside(data, x)]
    last = _injecting(data)
    spent = [stage for stage in stages if stage != last]
    covers = raw.with_role(data, "escape tower") + raw.with_role(data, "fairing")
    events: list[_Event] = [{"do": "lift-off"}]
    uncovering = [*spent, last][min(1, len(spent))]
    for stage in [*spent, last]:
        boosters = _boosters(data, stage)
        events.append({**_climb(stage), **({"beside": boosters} if boosters else {})})
        if covers and stage == uncovering:
            events.append({**_jettison(*covers), **({"at": UNCOVERED} if spent else {})})
        if stage != last:
            events.append(_jettison(*boosters, stage))
    return [*events, _coast_leg("parking orbit")]


def _outbound(data: raw.Data, *, docks: bool) -> list[_Event]:
    """Inject, take the lander out of its bay if there is one, let the stage go, correct."""
    crew, service = _one(data, "crew module"), _one(data, "service module")
    stage = _injecting(data)
    events = [_burn("translunar injection", stage)]
    if docks:
        events.append(_dock("transposition and docking", crew, _one(data, "ascent stage"), "1 h"))
    hybrid = raw.value(data, "orbits.translunar_arc") == HYBRID
    transfer = [_coast("coast to the hybrid transfer", "4 h"), _burn(HYBRID_TRANSFER, service)]
    return [
        *events,
        _jettison(stage, *raw.with_role(data, "adapter")),
        _coast("coast to the outbound correction", "24 h"),
        _burn("outbound correction", service),
        *(transfer if hybrid else []),
        _coast_leg("translunar coast"),
    ]


def _into_lunar_orbit(data: raw.Data) -> list[_Event]:
    service = _one(data, "service module")
    events = [_burn("lunar-orbit insertion", service)]
    if raw.value(data, "orbits.capture_plane_change") is not None:
        events += [
            _burn(PLANE_CHANGE, service),
            _burn("lunar-orbit circularisation", service),
        ]
    elif raw.value(data, "orbits.capture_apolune") is not None:
        events += [
            _coast("capture orbit", "4 h"),
            _burn("lunar-orbit circularisation", service),
        ]
    return events


def _to_the_surface(data: raw.Data) -> list[_Event]:
    crew, descent, ascent = _lander(data)
    return [
        _coast("checks in lunar orbit", "16 h"),
        _transfer(data, crew, ascent),
        {"do": "undock", "elements": [descent, ascent], "duration": "30 min"},
        _burn("descent-orbit insertion", descent),
        _coast_leg("descent coast"),
        _burn("powered descent", descent),
        {"do": "land"},
        {"do": "stay"},
    ]


def _back_to_orbit(data: raw.Data) -> list[_Event]:
    crew, descent, ascent = _lander(data)
    return [
        _jettison(descent),
        _burn("lunar ascent", ascent),
        {**_burn("rendezvous", ascent), **_by_thrusters(data, ascent)},
        _dock("docking in lunar orbit", ascent, crew, "30 min"),
        _transfer(data, ascent, crew),
        _jettison(ascent),
        _coast("coast to the return burn", "6 h"),
    ]


def _by_thrusters(data: raw.Data, element: str) -> dict[str, str]:
    """Return the engine of a fine burn: the element's thrusters, where it has any."""
    engines = raw.table(data["elements"][element], "engines")
    names = [name for name in engines if raw.table(engines, name).get("purpose") == "thrusters"]
    return {"engine": names[0]} if names else {}


def _leave_lunar_orbit(data: raw.Data) -> list[_Event]:
    return [_burn("trans-Earth injection", _one(data, "service module"))]


def _homeward(data: raw.Data) -> list[_Event]:
    crew, service = _one(data, "crew module"), _one(data, "service module")
    return [
        _coast("coast to the homeward correction", "24 h"),
        _burn("homeward correction", service),
        _coast_leg("transearth coast"),
        _jettison(service),
        {"do": "enter", "element": crew},
        {"do": "splash"},
    ]


def _stands_beside(data: raw.Data, name: str) -> str | None:
    return data["elements"][name].get("beside")


def _boosters(data: raw.Data, stage: str) -> list[str]:
    """Return the launch stages that stand beside another one on the pad."""
    stages = raw.with_role(data, "launch stage")
    return [name for name in stages if _stands_beside(data, name) == stage]


def _injecting(data: raw.Data) -> str:
    """Return the stage that ends the climb and injects: a transfer stage, else the last one."""
    transfer = raw.with_role(data, "transfer stage")
    return transfer[0] if transfer else raw.with_role(data, "launch stage")[-1]


def _lander(data: raw.Data) -> tuple[str, str, str]:
    return _one(data, "crew module"), _one(data, "descent stage"), _one(data, "ascent stage")


def _one(data: raw.Data, role: str) -> str:
    return raw.with_role(data, role)[0]


def _burn(leg: str, element: str) -> _Event:
    return {"do": "burn", "leg": leg, "element": element}


def _climb(stage: str) -> _Event:
    return {"do": "burn", "name": f"{stage.replace('_', ' ')} climb", **_burn("climb", stage)}


def _jettison(*elements: str) -> _Event:
    return {"do": "jettison", "elements": list(elements)}


def _coast_leg(leg: str) -> _Event:
    return {"do": "coast", "leg": leg}


def _coast(name: str, duration: str) -> _Event:
    return {"do": "coast", "name": name, "duration": duration}


def _dock(name: str, element: str, target: str, duration: str) -> _Event:
    return {
        "do": "dock",
        "name": name,
        "element": element,
        "target": target,
        "duration": duration,
    }


def _transfer(data: raw.Data, origin: str, target: str) -> _Event:
    return {
        "do": "transfer crew",
        "crew": data["mission"].get("landing_crew", 0),
        "origin": origin,
        "target": target,
        "duration": "40 min",
    }
