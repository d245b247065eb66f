"""The mission as one of its ships sees it: that ship's tables laid over those of the file.

A view is a scenario of its own, with the ship's stack, pad, day, climb and events, and with the
elements that it lifts or meets; it is checked and flown as any other.
"""

from __future__ import annotations

from typing import Any

from mplan.scenario import changes, raw
from mplan.scenario.profiles import NEEDS
from mplan.scenario.reading.files import merged
from mplan.scenario.reading.lines import Path
from mplan.scenario.ships.ship import OtherShip

# Of the whole mission, or of the main ship alone.
_NOT_SHARED = (
    "ships",
    "stack",
    "events",
    "elements",
    "orbit_upkeep",
    "recovery",
    "surface_walks",
    "severity",
    "dispersions",
)
_WITHOUT_CREW = {"crew": 0, "landing_crew": 0, "payload_down": "0 kg", "payload_up": "0 kg"}
_OF_THE_STAY = ("surface_stay", "lunar_orbit_stay", "profile")


def names(data: raw.Data) -> tuple[str, ...]:
    """Return the names of the ships that are tables, in the order of the file."""
    return tuple(name for name, ship in raw.table(data, "ships").items() if isinstance(ship, dict))


def launched(data: raw.Data) -> tuple[str, ...]:
    """Return the names of those that the mission launches itself."""
    return tuple(x for x in names(data) if "left_by" not in raw.table(data, "ships", x))


def of_ship(data: raw.Data, name: str) -> dict[str, Any]:
    """Return the tables of the scenario as the ship `name` sees them."""
    ship = raw.table(data, "ships", name)
    shared = {key: body for key, body in data.items() if key not in _NOT_SHARED}
    dates = raw.table(data, "dates")  # a clock time is that of one launch
    shared["dates"] = {key: x for key, x in dates.items() if key != "launch_time"}
    view = merged(shared, {key: body for key, body in ship.items() if key != "mission"})
    usual = {k: x for k, x in raw.table(data, "mission").items() if k not in _OF_THE_STAY}
    bodies = raw.elements(data)
    carried = {"payload_down": usual.pop("payload_down", "0 kg")} if _lands(ship, bodies) else {}
    view["mission"] = {**usual, **_WITHOUT_CREW, **carried, **raw.table(ship, "mission")}
    view = _without_refused(view, ship)
    view["elements"] = {x: bodies[x] for x in _concerned(data, name) if x in bodies}
    return view


def in_file(data: raw.Data, name: str, path: Path) -> Path:
    """Return the path in the file of what stands at a path of a ship's view."""
    own: Path = ("ships", name, *path)
    if path[:1] in (("stack",), ("events",)) or _stands(data, own):
        return own
    if path[:1] == ("elements",) or _stands(data, path):
        return path
    return own if path[:1] == ("mission",) or _stands(data, own[:-1]) else path


def key_in_file(data: raw.Data, name: str, key: str) -> str:
    """Return the dotted key in the file that changes a dotted key of a ship's view, and no other's.

    What a ship cannot state for itself is changed for all; so is the payload, which its lander
    carries for the mission.
    """
    table = key.partition(".")[0]
    shared = key == "mission.payload_down" and not _stands(data, ("ships", name, *key.split(".")))
    return key if shared or table not in OtherShip.model_fields else f"ships.{name}.{key}"


def _without_refused(view: dict[str, Any], ship: raw.Data) -> dict[str, Any]:
    """Return a view without the file's keys that the ship's profile has no use for."""
    needs = NEEDS.get(raw.text(view, "mission.profile") or "")
    for key in needs.refuses if needs else ():
        if raw.value(view, key) is not None and raw.value(ship, key) is None:
            view, _ = changes.put(view, key, None)
    return view


def _lands(ship: raw.Data, bodies: raw.Data) -> bool:
    """Tell whether a ship lifts the descent stage, which carries what goes down to the Moon."""
    return any(raw.table(bodies, name).get("role") == "descent stage" for name in raw.stack(ship))


def _concerned(data: raw.Data, name: str) -> dict[str, None]:
    """Return the elements that a ship lifts, and those of the ships that its events name."""
    ship = raw.table(data, "ships", name)
    found = dict.fromkeys(raw.stack(ship))
    named = {x for _, event in raw.events(ship) for _, x in raw.named_in(event)}
    for other in names(data):
        stack = raw.stack(raw.table(data, "ships", other))
        if named & set(stack):
            found |= dict.fromkeys(stack)
    return found


def _stands(data: Any, path: Path) -> bool:  # noqa: ANN401  (any TOML value)
    """Tell whether the tables have something at a path."""
    for step in path:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return False
    return True
