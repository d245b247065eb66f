"""Whether the tanks that an engine draws from hold what it burns."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import raw
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import shown

Path = tuple[str, ...]

_FEEDS = ("fuel", "oxidiser")  # in the order of an engine's propellants


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield each feed of an engine that does not give what its `propellants` say."""
    for name, element in raw.elements(data).items():
        for key, engine in raw.table(element, "engines").items():
            if isinstance(engine, dict) and _known(engine.get("propellants")):
                tanks = raw.table(_feeder(data, element, engine), "tanks")
                yield from _feeds(("elements", name, "engines", key), engine, tanks)


def _known(burned: object) -> bool:
    if not isinstance(burned, list) or not 1 <= len(burned) <= len(_FEEDS):
        return False
    return all(each in PROPELLANTS for each in burned)


def _feeder(data: raw.Data, element: dict, engine: dict) -> dict:
    """Return the element whose tanks an engine draws from: its own, unless another feeds it."""
    other = raw.text(engine, "crossfeed")
    return element if other is None else raw.table(data, "elements", other)


def _feeds(path: Path, engine: dict, tanks: dict) -> Iterator[KeyProblem]:
    burned = engine["propellants"]
    burns = f"{raw.text(engine, 'label') or path[-1]} burns {' with '.join(map(str, burned))}"
    for key, wanted in zip(_FEEDS, (*burned, None), strict=False):
        tank = raw.text(engine, key)
        held = raw.text(raw.table(tanks, str(tank)), "propellant")
        if tank is not None and wanted is None:
            yield KeyProblem((*path, key), f"found {shown(tank)}; {burns} alone, leave it out")
        elif key == "oxidiser" and wanted is not None and tank is None:
            yield KeyProblem((*path, key), f"missing; {burns}, name the tank that holds the latter")
        elif held not in (None, wanted):
            yield KeyProblem((*path, key), f"found {shown(tank)}, a tank of {held}; {burns}")
