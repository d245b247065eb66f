"""Names that point at something: each must exist, and everything built must be used."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from mplan.scenario import raw
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import choices, hint, shown

_Supply = tuple[object, object]  # an element, and a tank or propellant of it as written


def findings(data: raw.Data, complete: raw.Data, met: Collection[str]) -> Iterator[KeyProblem]:
    """Yield every name that points nowhere and every element, tank or engine left unused.

    `complete` is `data` with the profile's events where the file states none; `met` are elements
    that other ships lift.
    """
    yield from _stack(data, met)
    drawn, moved = _drawn(complete), _moved(complete)
    for name, body in raw.elements(data).items():
        yield from _housing(data, name, body)
        yield from _engines(data, ("elements", name), body)
        yield from _unused_tanks(name, body, drawn, moved)
    yield from _event_names(data, {*raw.stack(data), *met})
    if "events" in complete:
        yield from _burn_engines(complete)


def _stack(data: raw.Data, met: Collection[str]) -> Iterator[KeyProblem]:
    known, seen = raw.table(data, "elements"), set()
    for index, name in enumerate(raw.stack(data)):
        if name not in known:
            yield KeyProblem(("stack", index), _no_such("element", name, known))
        elif name in seen:
            yield KeyProblem(("stack", index), f"{shown(name)} is in the stack already")
        seen.add(name)
    for name in known:
        if seen and name not in seen and name not in met:
            yield KeyProblem(("elements", name), "nothing uses this element; put it into the stack")


def _housing(data: raw.Data, name: str, element: dict) -> Iterator[KeyProblem]:
    """Check that what an element stands inside of is another element."""
    known, house = raw.table(data, "elements"), element.get("inside")
    if isinstance(house, str) and house not in known:
        yield KeyProblem(("elements", name, "inside"), _no_such("element", house, known))
    if house == name:
        yield KeyProblem(("elements", name, "inside"), "found the element itself")


def _engines(data: raw.Data, path: tuple[str, ...], element: dict) -> Iterator[KeyProblem]:
    for name, engine in _tables(element, "engines"):
        here = (*path, "engines", name)
        for key in _FEEDS:
            if isinstance(engine.get(key), str):
                yield from _tank(data, (*here, key), engine[key], engine.get("crossfeed"))
        yield from _mixture(here, engine)


def _tank(
    data: raw.Data, path: tuple[str, ...], tank: str, crossfeed: object
) -> Iterator[KeyProblem]:
    """Check that the element that feeds an engine has a tank: its own, unless there is a crossfeed.

    A crossfeed from an element that is not there, and a dotted name, are told elsewhere.
    """
    own, known = path[1], raw.elements(data)
    owner = own if crossfeed is None else crossfeed
    if owner not in known or "." in tank or tank in raw.table(known[owner], "tanks"):
        return
    tanks = raw.table(known[owner], "tanks")
    kind = "tank of this element" if owner == own else f"tank of {owner}"
    text = _no_such(kind, tank, tanks)
    others = [name for name, body in known.items() if tank in raw.table(body, "tanks")]
    if others and owner == own:
        text = f"no {kind} is called {shown(tank)}; {choices(others)} has one, but an engine draws "
        text += f"from its own element unless it says: crossfeed = {shown(others[0])}"
    yield KeyProblem(path, text)


def _mixture(here: tuple[str, ...], engine: dict) -> Iterator[KeyProblem]:
    ratio, oxidiser = "mixture_ratio" in engine, "oxidiser" in engine
    if oxidiser and not ratio:
        text = "missing, as there is an oxidiser; write for example: mixture_ratio = 2.5"
        yield KeyProblem((*here, "mixture_ratio"), text)
    if ratio and not oxidiser:
        yield KeyProblem((*here, "mixture_ratio"), "given without an oxidiser; name its tank too")
    if oxidiser and engine.get("fuel") == engine["oxidiser"]:
        yield KeyProblem((*here, "oxidiser"), f"found {shown(engine['oxidiser'])}, the fuel's tank")


def _unused_tanks(
    owner: str, element: dict, drawn: Collection[_Supply], moved: Collection[_Supply]
) -> Iterator[KeyProblem]:
    for name, tank in raw.table(element, "tanks").items():
        transferred = isinstance(tank, dict) and (owner, tank.get("propellant")) in moved
        cells = raw.table(raw.table(element, "power"), "fuel_cell")
        celled = name in (cells.get("hydrogen_tank"), cells.get("oxygen_tank"))
        if (owner, name) not in drawn and not transferred and not celled:
            text = "no engine of this element draws from this tank, and no event transfers from it"
            yield KeyProblem(("elements", owner, "tanks", name), text)


def _drawn(data: raw.Data) -> list[_Supply]:
    """Return the elements and tanks that engines draw from."""
    return [
        (engine.get("crossfeed", owner), engine.get(key))
        for owner, body in raw.elements(data).items()
        for _, engine in _tables(body, "engines")
        for key in _FEEDS
    ]


def _moved(data: raw.Data) -> list[_Supply]:
    """Return the elements between which ships transfer propellant, each with the propellant."""
    return [
        (event.get(end), event.get("propellant"))
        for ship in (data, *raw.table(data, "ships").values())
        if isinstance(ship, dict)
        for _, event in raw.events(ship)
        if event.get("do") == "transfer propellant"
        for end in ("origin", "target")
    ]


def _event_names(data: raw.Data, lifted: Collection[str]) -> Iterator[KeyProblem]:
    known = raw.table(data, "elements")
    for index, event in raw.events(data):
        for path, name in raw.named_in(event):
            here = ("events", index, *path)
            if name not in known:
                yield KeyProblem(here, _no_such("element", name, known))
            elif name not in lifted:
                yield KeyProblem(here, f"{shown(name)} is not in the stack")


def _burn_engines(data: raw.Data) -> Iterator[KeyProblem]:
    """Check that each burn says enough to know its engine."""
    bodies = raw.elements(data)
    for index, event in _burns(data):
        element = bodies.get(raw.text(event, "element") or "")
        if element is None:
            continue
        engines, named = raw.table(element, "engines"), raw.text(event, "engine")
        if "engine" not in event:
            yield from _engine_left_open(index, event["element"], element)
        elif named is not None and named not in engines:
            text = _no_such(f"engine of {event['element']}", named, engines)
            yield KeyProblem(("events", index, "engine"), text)


def _engine_left_open(index: int, name: str, element: dict) -> Iterator[KeyProblem]:
    main = _main_engines(element)
    if len(main) > 1:
        text = f"missing, as {name} has several main engines; accepted: {choices(main)}"
        yield KeyProblem(("events", index, "engine"), text)
    if all(body.get("purpose") == "settling" for _, body in _tables(element, "engines")):
        yield KeyProblem(("events", index, "element"), f"{shown(name)} has no engine to burn")


_FEEDS = ("fuel", "oxidiser")


def _burns(data: raw.Data) -> Iterator[tuple[int, dict]]:
    return (pair for pair in raw.events(data) if pair[1].get("do") == "burn")


def _main_engines(element: dict) -> list[str]:
    pairs = _tables(element, "engines")
    return [name for name, engine in pairs if engine.get("purpose", "main") == "main"]


def _tables(parent: dict, key: str) -> list[tuple[str, dict]]:
    pairs = raw.table(parent, key).items()
    return [(name, body) for name, body in pairs if isinstance(body, dict)]


def _no_such(kind: str, name: str, known: dict) -> str:
    return f"no {kind} is called {shown(name)}; {hint(name, known)}"
