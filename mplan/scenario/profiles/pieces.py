"""Rows of events that profiles share, as a file would state them."""

from __future__ import annotations

from typing import Any

from mplan.scenario import raw
from mplan.scenario.profiles.names import (
    APOLUNE_CHANGE,
    CIRCULARISATION,
    EARTH_ORBIT,
    HYBRID,
    HYBRID_TRANSFER,
    PLANE_CHANGE,
)

UNCOVERED = "30 s"  # after the second stage's ignition (common practice, no source)

FEEDS = ("fuel", "oxidiser")  # keys of an engine that name its tanks

Written = dict[str, Any]  # an event


def to_parking_orbit(data: raw.Data) -> list[Written]:
    """Climb stage by stage; escape tower and fairing go once the second one burns well.

    A stage that stands beside another on the pad burns with it. Where the stage that injects waits
    in orbit, on another ship, or is not to burn yet, the last launch stage goes as well.
    """
    last = _injecting(data)
    idle = raw.value(data, "climb.transfer_stage_burns") is False
    if last not in raw.stack(data) or (idle and last in raw.with_role(data, "transfer stage")):
        return to_orbit_and_stay(data)
    return [*_climbing(data, last), coast_leg("parking orbit")]


def to_orbit_and_stay(data: raw.Data) -> list[Written]:
    """Climb with the launch stages alone, and let the last of them go as well."""
    last = raw.with_role(data, "launch stage")[-1]
    return [*_climbing(data, last), jettison(last), coast_leg("parking orbit")]


def _climbing(data: raw.Data, last: str) -> list[Written]:
    """Return the climb up to the cut-off of its last stage."""
    stages = [x for x in raw.with_role(data, "launch stage") if not _stands_beside(data, x)]
    spent = [stage for stage in stages if stage != last]
    covers = raw.with_role(data, "escape tower") + raw.with_role(data, "fairing")
    events: list[Written] = [{"do": "lift-off"}]
    uncovering = [*spent, last][min(1, len(spent))]
    for stage in [*spent, last]:
        boosters = _boosters(data, stage)
        events.append({**_climb(stage), **({"beside": boosters} if boosters else {})})
        if covers and stage == uncovering:
            events.append({**jettison(*covers), **({"at": UNCOVERED} if spent else {})})
        if stage != last:
            events.append(jettison(*boosters, stage))
    return events


def outbound(data: raw.Data, mover: str, *, takes_out: str | None = None) -> list[Written]:
    """Inject, take a lander out of its bay where there is one, let the stage go, correct.

    `mover` burns on the way; `takes_out` is what the crew module docks to in the bay.
    """
    stage = _injecting(data)
    events = [burn("translunar injection", stage)]
    if takes_out is not None and takes_out in raw.stack(data):
        crew = one(data, "crew module")
        events.append(dock("transposition and docking", crew, takes_out, "1 h"))
    if stage not in raw.stack(data):
        meeting = burn("Earth-orbit rendezvous", mover)
        below = waiting_in_earth_orbit(data)
        crew, top = one(data, "crew module"), takes_out if takes_out in below else stage
        events = [
            {**meeting, **by_thrusters(data, mover)},
            dock("docking in Earth orbit", crew, top, "1 h"),
            *events,
        ]
    elif tanker := _tanker(data, stage):
        events = [*_filled_up(data, mover, stage, tanker), *events]
    hybrid = raw.value(data, "orbits.translunar_arc") == HYBRID
    transfer = [coast("coast to the hybrid transfer", "4 h"), burn(HYBRID_TRANSFER, mover)]
    return [
        *events,
        jettison(stage, *raw.anywhere_with_role(data, "adapter")),
        coast("coast to the outbound correction", "24 h"),
        burn("outbound correction", mover),
        *(transfer if hybrid else []),
        coast_leg("translunar coast"),
    ]


def _tanker(data: raw.Data, stage: str) -> str | None:
    """Return what waits in Earth orbit with propellant of a stage for others, None if nothing does.

    What an engine of its own burns it carries for itself.
    """
    used = set(_burned(data, stage))
    for name in waiting_in_earth_orbit(data):
        tanks = raw.table(data["elements"][name], "tanks")
        held = {raw.table(tanks, tank).get("propellant") for tank in tanks}
        if used & held - set(_burned(data, name)):
            return name
    return None


def _filled_up(data: raw.Data, mover: str, stage: str, tanker: str) -> list[Written]:
    """Meet the tanker, fill the stage's tanks up with what it holds, let it go.

    Thrusters settle what is transferred. Duration and acceleration: common practice, no source.
    """
    meeting = burn("Earth-orbit rendezvous", mover)
    return [
        {**meeting, **by_thrusters(data, mover)},
        dock("docking to the tanker", one(data, "crew module"), tanker, "1 h"),
        *(
            {
                "do": "transfer propellant",
                "origin": tanker,
                "target": stage,
                "propellant": propellant,
                "settling_acceleration": "0.0001 m/s2",
                "duration": "2 h",
            }
            for propellant in _burned(data, stage)
        ),
        jettison(tanker),
    ]


def _burned(data: raw.Data, name: str) -> list[str]:
    """Return the propellants that an element's engines burn, its thrusters apart."""
    tanks = raw.table(data["elements"][name], "tanks")
    engines = raw.table(data["elements"][name], "engines")
    main = [raw.table(engines, x) for x in engines]
    keys = [x.get(key) for x in main if x.get("purpose") != "thrusters" for key in FEEDS]
    found = (raw.table(tanks, key).get("propellant") for key in keys if key)
    return list(dict.fromkeys(x for x in found if isinstance(x, str)))


def into_lunar_orbit(data: raw.Data, mover: str) -> list[Written]:
    """Insert with as many burns as the orbits stated ask.

    Out of a capture ellipse into the circle or ellipse, in steps where several revolutions are
    asked for; an argument of perilune that is stated is reached from the circle.
    """
    stated = {key: raw.value(data, f"orbits.{key}") for key in _INTO}
    captured, ellipse, turned, placed = (stated[key] is not None for key in _INTO[:4])
    round_ = captured and (placed or not ellipse)
    steps = stated["capture_revolutions"]
    lowered = steps - 1 if captured and isinstance(steps, int) else 0
    changes = lowered + (ellipse and (captured or placed))
    events = [burn("lunar-orbit insertion", mover)]
    if turned:
        events.append(burn(PLANE_CHANGE, mover))
    elif round_ and not lowered:
        events.append(coast("capture orbit", "4 h"))
    events += _apolune_changes(mover, lowered, changes)
    if round_:
        events.append(burn(CIRCULARISATION, mover))
    return [*events, *_apolune_changes(mover, changes - lowered, changes, lowered)]


_INTO = (
    "capture_apolune",
    "lunar_apolune",
    "capture_plane_change",
    "lunar_argument_of_perilune",
    "capture_revolutions",
)


def _apolune_changes(mover: str, count: int, of: int, before: int = 0) -> list[Written]:
    """Return burns that change the apolune, numbered where there are several of them."""
    one = burn(APOLUNE_CHANGE, mover)
    if of == 1:
        return [one] * count
    return [{**one, "name": f"apolune change {before + i + 1}"} for i in range(count)]


def down(lander: str, *, lowers: str | None = None) -> list[Written]:
    """Lower the orbit, coast to its perilune, brake, touch down.

    Another element that `lowers` the orbit is let go at once.
    """
    mover = lowers or lander
    return [
        burn("descent-orbit insertion", mover),
        *([jettison(mover)] if mover != lander else []),
        coast_leg("descent coast"),
        burn("powered descent", lander),
        {"do": "land"},
    ]


def off_the_moon(lander: str, home: str) -> list[Written]:
    """Leave the lander there, lift off into a low orbit and burn for home in it."""
    return [
        jettison(lander),
        burn("lunar ascent", home),
        coast("checks before the return burn", "4 h"),
        burn("trans-Earth injection", home),
    ]


def waiting_in_earth_orbit(data: raw.Data) -> list[str]:
    """Return the elements of the ships whose profile leaves them in Earth orbit."""
    ships = raw.table(data, "ships").values()
    low = [x for x in ships if raw.text(x, "mission.profile") == EARTH_ORBIT]
    return [name for ship in low for name in raw.stack(ship)]


def brought_by(data: raw.Data, element: str) -> list[str]:
    """Return what has brought an element of another ship into lunar orbit and is still joined."""
    for ship in raw.table(data, "ships").values():
        if element in raw.stack(ship):
            own = {**data, "stack": raw.stack(ship)}
            spent = 0 if "left_by" in ship else 1  # the stage that left Earth orbit is gone
            return [
                *raw.with_role(own, "service module"),
                *raw.with_role(own, "transfer stage")[spent:],
            ]
    return []


def by_thrusters(data: raw.Data, element: str) -> dict[str, str]:
    """Return the engine of a fine burn: the element's thrusters, where it has any."""
    engines = raw.table(data["elements"][element], "engines")
    names = [name for name in engines if raw.table(engines, name).get("purpose") == "thrusters"]
    return {"engine": names[0]} if names else {}


def homeward(data: raw.Data, mover: str) -> list[Written]:
    """Correct, coast, let go of what burned, come down in the crew module."""
    return [
        coast("coast to the homeward correction", "24 h"),
        burn("homeward correction", mover),
        coast_leg("transearth coast"),
        jettison(mover),
        {"do": "enter", "element": one(data, "crew module")},
        {"do": "splash"},
    ]


def one(data: raw.Data, role: str) -> str:
    """Return the lowest element that has a role: of the stack, else of a ship to be met."""
    return raw.anywhere_with_role(data, role)[0]


def burn(leg: str, element: str) -> Written:
    """Return one burn of a leg."""
    return {"do": "burn", "leg": leg, "element": element}


def jettison(*elements: str) -> Written:
    """Return elements let go for good."""
    return {"do": "jettison", "elements": list(elements)}


def coast_leg(leg: str) -> Written:
    """Return a coast that its leg times."""
    return {"do": "coast", "leg": leg}


def coast(name: str, duration: str) -> Written:
    """Return a coast of a stated time."""
    return {"do": "coast", "name": name, "duration": duration}


def dock(name: str, element: str, target: str, duration: str) -> Written:
    """Return two craft that join."""
    return {
        "do": "dock",
        "name": name,
        "element": element,
        "target": target,
        "duration": duration,
    }


def transfer(data: raw.Data, origin: str, target: str) -> Written:
    """Return the landing crew changing over."""
    return {
        "do": "transfer crew",
        "crew": data["mission"].get("landing_crew", 0),
        "origin": origin,
        "target": target,
        "duration": "40 min",
    }


def _stands_beside(data: raw.Data, name: str) -> str | None:
    return data["elements"][name].get("beside")


def _boosters(data: raw.Data, stage: str) -> list[str]:
    """Return the launch stages that stand beside another one on the pad."""
    stages = raw.with_role(data, "launch stage")
    return [name for name in stages if _stands_beside(data, name) == stage]


def _injecting(data: raw.Data) -> str:
    """Return the stage that ends the climb and injects: a transfer stage, else the last one."""
    transfer = raw.anywhere_with_role(data, "transfer stage")
    return transfer[0] if transfer else raw.with_role(data, "launch stage")[-1]


def _climb(stage: str) -> Written:
    return {"do": "burn", "name": f"{stage.replace('_', ' ')} climb", **burn("climb", stage)}
