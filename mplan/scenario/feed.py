"""Whether an engine's crossfeed, what settles it and its rating fit, and its tanks' heat."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.scenario import quantities, raw
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import hint, shown

Path = tuple[str, ...]


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield what does not fit together, propellants apart (see `mounting`)."""
    for name, element in raw.elements(data).items():
        for key, engine in raw.table(element, "engines").items():
            if isinstance(engine, dict):
                here = ("elements", name, "engines", key)
                yield from _crossfeed(data, here, engine)
                yield from _settled_by(data, here, engine)
                yield from _rating(here, engine)
        for key, tank in raw.table(element, "tanks").items():
            if isinstance(tank, dict) and {"heat_input", "boil_off"} <= set(tank):
                text = "given together with heat_input; leave one of the two out"
                yield KeyProblem(("elements", name, "tanks", key, "boil_off"), text)


def _crossfeed(data: raw.Data, here: Path, engine: dict) -> Iterator[KeyProblem]:
    known, other = raw.elements(data), engine.get("crossfeed")
    if not isinstance(other, str):
        return
    where = (*here, "crossfeed")
    if other not in known:
        yield KeyProblem(where, f"no element is called {shown(other)}; {hint(other, known)}")
    elif other == here[1]:
        yield KeyProblem(where, "found the element itself, from which an engine draws without it")
    elif _climbs(data, here[1], here[3]):
        text = f"found {shown(other)}; accepted: none in the climb, where each stage burns its own"
        yield KeyProblem(where, text)


def _climbs(data: raw.Data, element: str, engine: str) -> bool:
    """Tell whether an engine burns in the climb."""
    return any(
        event.get("leg") == "climb"
        and (event.get("element") == element or element in raw.texts(event.get("beside")))
        and event.get("engine", engine) == engine
        for _, event in raw.events(data)
    )


def _settled_by(data: raw.Data, here: Path, engine: dict) -> Iterator[KeyProblem]:
    named = engine.get("settled_by")
    if not isinstance(named, str) or named.count(".") != 1:
        return
    where, known = (*here, "settled_by"), raw.elements(data)
    element, other = named.split(".")
    engines = raw.table(known, element, "engines")
    if element not in known:
        text = f"no element is called {shown(element)}; {hint(element, known)}"
        yield KeyProblem(where, text)
    elif other not in engines:
        yield KeyProblem(
            where, f"no engine of {element} is called {shown(other)}; {hint(other, engines)}"
        )
    elif raw.text(engines, f"{other}.purpose") not in ("thrusters", "settling"):
        yield KeyProblem(where, f"found {shown(named)}, a main engine; accepted: thrusters")


def _rating(here: Path, engine: dict) -> Iterator[KeyProblem]:
    """Check what would contradict itself in an engine's rating."""
    one, all_ = (
        quantities.read("time", engine.get(key)) for key in ("longest_burn", "qualified_duration")
    )
    if one is not None and all_ is not None and one > all_:
        text = f"found {shown(engine['longest_burn'])}; accepted: at most qualified_duration"
        yield KeyProblem((*here, "longest_burn"), f"{text}, {shown(engine['qualified_duration'])}")
    if engine.get("propellants") == []:
        yield KeyProblem(
            (*here, "propellants"), "found an empty list; accepted: one or two entries"
        )
    many, count = engine.get("settling_count"), engine.get("count")
    if isinstance(many, int) and isinstance(count, int) and many > count:
        text = f"found {many}; accepted: at most its count, {count}"
        yield KeyProblem((*here, "settling_count"), text)
