"""What tanks and engines name: propellants, and the tanks of the element an engine draws from."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

from mplan.scenario.table import Key
from mplan.scenario.wording import shown

PropellantName = Literal[
    "liquid oxygen",
    "liquid hydrogen",
    "liquid methane",
    "kerosene",
    "NTO",
    "MMH",
    "hydrazine",
    "UDMH",
    "Aerozine-50",
    "solid propellant",
]


def _own(value: object) -> object:
    """Return a tank's name; refuse that of another element's tank with what to write instead."""
    if isinstance(value, str) and value.count(".") == 1 and all(value.split(".")):
        element, tank = value.split(".")
        text = (
            f"found {shown(value)}; accepted: a tank of the engine's own element, as propellant "
            f"is drawn from no other unless the engine says crossfeed = {shown(element)} "
            f"and names {shown(tank)}"
        )
        raise PydanticCustomError("quantity", "{text}", {"text": text})
    return value


OwnTank = Annotated[Key, BeforeValidator(_own)]
