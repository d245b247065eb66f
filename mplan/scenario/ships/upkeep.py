"""How a ship that waits in lunar orbit keeps its orbit up: the table [orbit_upkeep]."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from mplan.scenario import raw
from mplan.scenario.quantities import Quantity
from mplan.scenario.table import Key, TomlTable
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import hint, shown

Lowest = Annotated[float, Quantity("length", at_least="5 km", at_most="5000 km", example="90 km")]


class OrbitUpkeep(TomlTable):
    """Burns that restore the lunar orbit of a ship while it waits to be met.

    Two burns each time that perilune has sunk to the limit, and once before it is met.
    """

    element: Key = Field(description="Element whose engine burns.")
    engine: Key | None = Field(
        None, description="Engine of that element, if not its one main engine."
    )
    lowest_perilune: Lowest = Field(
        description="Perilune at which the orbit is restored, above the 1737.4 km sphere."
    )


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield an element or an engine that is not there."""
    table = raw.table(data, "orbit_upkeep")
    name, engine = raw.text(table, "element"), raw.text(table, "engine")
    if name is None:
        return
    if name not in raw.stack(data):
        text = f"found {shown(name)}, which is not in the stack; {hint(name, raw.stack(data))}"
        yield KeyProblem(("orbit_upkeep", "element"), text)
        return
    engines = raw.table(raw.table(data, "elements", name), "engines")
    if not engines:
        text = f"found {shown(name)}, which has no engine; accepted: an element that has one"
        yield KeyProblem(("orbit_upkeep", "element"), text)
    elif engine is not None and engine not in engines:
        text = f"no engine of {name} is called {shown(engine)}; {hint(engine, engines)}"
        yield KeyProblem(("orbit_upkeep", "engine"), text)
