"""Whether an element's `[build]` says all that its length follows from, and nothing twice."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.scenario import quantities, raw
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import choices, hint, shown

Path = tuple[str, ...]


def missing(data: raw.Data) -> set[Path]:
    """Return the paths of lengths that are neither stated nor follow from a build."""
    lengthless = {
        ("elements", name, "length")
        for name, element in raw.elements(data).items()
        if "length" not in element and "build" not in element
    }
    return lengthless | {
        ("elements", name, "engines", engine, "length")
        for name, element in raw.elements(data).items()
        if isinstance(element.get("build"), dict)
        for engine, body in _main_engines(element).items()
        if "length" not in body
    }


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield what does not fit together in the elements' builds."""
    for name, element in raw.elements(data).items():
        yield from _beside(data, name, element)
        if isinstance(element.get("build"), dict):
            yield from _of_element(("elements", name), element)


def _beside(data: raw.Data, name: str, element: dict) -> Iterator[KeyProblem]:
    """Check that what an element stands beside is another one, which stands for itself."""
    known, other = raw.table(data, "elements"), element.get("beside")
    here = ("elements", name, "beside")
    if not isinstance(other, str):
        return
    if other == name:
        yield KeyProblem(here, "found the element itself")
    elif other not in known:
        yield KeyProblem(here, f"no element is called {shown(other)}; {hint(other, known)}")
    elif {"beside", "inside"} & set(raw.table(known, other)):
        yield KeyProblem(here, f"{shown(other)} stands beside or inside another element itself")
    if "inside" in element:
        yield KeyProblem(here, "given together with inside; leave one of the two out")


def _of_element(path: Path, element: dict) -> Iterator[KeyProblem]:
    build, tanks = element["build"], _main_tanks(element)
    here = (*path, "build")
    if "length" in element:
        text = f"found {shown(element['length'])} beside [build], from which the length follows; "
        yield KeyProblem((*path, "length"), text + "leave one of the two out")
    if not tanks:
        yield KeyProblem(here, "no main engine draws from a tank here; state the length instead")
        return
    yield from _order(here, build, tanks)
    for name, body in raw.table(build, "tanks").items():
        if name not in tanks:
            text = f"no tank of the main engines is called {shown(name)}; {hint(name, tanks)}"
            yield KeyProblem((*here, "tanks", name), text)
        elif isinstance(body, dict) and body.get("shape") == "sphere" and "diameter" in body:
            text = "given for a sphere, whose diameter follows from its load; leave it out"
            yield KeyProblem((*here, "tanks", name, "diameter"), text)
    if build.get("arrangement") == "common bulkhead":
        yield from _one_shell(here, build, tanks)
    yield from _nested(here, build, element)


def _order(here: Path, build: dict, tanks: list[str]) -> Iterator[KeyProblem]:
    order = build.get("order")
    if isinstance(order, list) and sorted(map(str, order)) != sorted(tanks):
        text = f"accepted: each tank of the main engines once, {choices(tanks)}"
        yield KeyProblem((*here, "order"), f"found {choices(map(str, order)) or 'none'}; {text}")


def _one_shell(here: Path, build: dict, tanks: list[str]) -> Iterator[KeyProblem]:
    if len(tanks) != 2:
        text = f"a common bulkhead parts two tanks; the main engines have {len(tanks)}"
        yield KeyProblem((*here, "arrangement"), text)
    odd = {"shape", "count", "diameter", "dome_depth"}
    for name in tanks:
        for key in sorted(odd & set(raw.table(build, "tanks", name))):
            text = "both tanks of a common bulkhead share one shell; leave it out"
            yield KeyProblem((*here, "tanks", name, key), text)


def _nested(here: Path, build: dict, element: dict) -> Iterator[KeyProblem]:
    nested = quantities.read("length", build.get("nested"))
    engines = _main_engines(element).values()
    read = (quantities.read("length", body.get("length")) for body in engines)
    lengths = [length for length in read if length is not None]
    if nested is None or len(lengths) < len(engines) or not lengths or nested <= max(lengths):
        return
    text = f"found {shown(build['nested'])}; accepted: at most the engine's length, "
    yield KeyProblem((*here, "nested"), text + f'"{max(lengths):g} m"')


def _main_engines(element: dict) -> dict[str, dict]:
    return {
        name: body
        for name, body in raw.table(element, "engines").items()
        if isinstance(body, dict) and body.get("purpose", "main") == "main"
    }


def _main_tanks(element: dict) -> list[str]:
    """Return the tanks that main engines draw from, as they are listed."""
    bodies = _main_engines(element).values()
    drawn = [body.get(key) for body in bodies for key in ("fuel", "oxidiser")]
    return [name for name in raw.table(element, "tanks") if name in drawn]
